"""Late is what is likely finished after its day, at risk what is so at careful minutes; the day counts whole."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from shopapp.jobs.season import judging, planning, words
from shopapp.people.models import Member
from shopapp.plans.timetable.planning import moment
from tests.support import season, work

pytestmark = pytest.mark.django_db
FIRST = date(2026, 11, 30)


@pytest.fixture(scope="module")
def plan(rows_of_this_file):
    owner = Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)
    return work.kept(owner)


@pytest.fixture
def shop(plan):
    return season.shop_from(FIRST)


@pytest.mark.parametrize(
    ("likely", "careful", "state"),
    [
        (288, 288, words.IN_TIME),
        (287, 288, words.IN_TIME),
        (288, 289, words.AT_RISK),
        (0, 10**6, words.AT_RISK),
        (288, None, words.AT_RISK),
        (289, 289, words.LATE),
        (289, 300, words.LATE),
        (None, None, words.LATE),
    ],
)
def test_a_finish_as_its_day_ends_is_in_time_and_one_slot_later_is_not(likely, careful, state):
    assert words.state_of(likely, careful, 288) == state
    assert words.state_of(likely, careful, None) == words.NO_DAY


# A first day, a day something is due on, and how many days lie from midnight to the midnight after it, by the
# calendar of 1582: leap years are those divided by four, but of the centuries only those divided by 400.
CALENDAR = [
    ((2028, 2, 28), (2028, 2, 29), 2),
    ((2028, 2, 28), (2028, 3, 1), 3),
    ((2027, 2, 28), (2027, 3, 1), 2),
    ((2100, 2, 28), (2100, 3, 1), 2),
    ((2000, 2, 28), (2000, 3, 1), 3),
    ((2026, 12, 31), (2027, 1, 1), 2),
    ((2026, 3, 28), (2026, 3, 30), 3),  # the clock is put forward in between
    ((2026, 10, 24), (2026, 10, 26), 3),  # and back
    ((2026, 11, 30), (2026, 11, 30), 1),
    ((2026, 11, 30), (2026, 11, 29), 0),
]


@pytest.mark.parametrize(("first", "due", "days"), CALENDAR)
def test_a_day_s_end_is_so_many_midnights_away_over_leap_days_and_clock_changes(first, due, days):
    first, due = date(*first), date(*due)
    assert planning.due_slot(first, due) == days * 24 * 12
    midnight = datetime.combine(due, datetime.min.time())
    assert moment(first, planning.due_slot(first, due)) == midnight + timedelta(days=1)


@pytest.mark.parametrize(("first", "due", "days"), [one for one in CALENDAR if one[2] > 0])
def test_the_last_slot_of_a_day_is_ready_on_it_and_the_next_on_the_day_after(first, due, days):
    first, due = date(*first), date(*due)
    end = planning.due_slot(first, due)
    assert planning.ready_day(first, end) == due
    assert planning.ready_day(first, end + 1) == due + timedelta(days=1)


@pytest.mark.parametrize("first", [date(2028, 2, 14), date(2026, 3, 16), date(2026, 10, 12)])
def test_a_board_takes_as_many_days_over_a_leap_day_or_a_changed_clock_as_in_any_weeks(plan, first):
    (board,) = season.boards_due(plan, [None])
    usual = planning.plan([board], season.shop_from(FIRST))
    found = planning.plan([board], season.shop_from(first))
    assert found.finishes == usual.finishes and found.careful == usual.careful


def test_the_very_day_it_is_ready_on_is_in_time_and_the_day_before_is_not(plan, shop):
    (board,) = season.boards_due(plan, [None])
    found = planning.plan([board], shop)
    likely, careful = (planning.ready_day(FIRST, at[1]) for at in (found.finishes, found.careful))
    assert likely < careful, "the example has nothing to tell apart"
    states = {
        due: words.states(season.asked_of(season.due_again([board], [due]), shop), found.finishes, found.careful)[1]
        for due in (likely - timedelta(days=1), likely, careful - timedelta(days=1), careful)
    }
    assert list(states.values())[-1] == words.IN_TIME and states[likely - timedelta(days=1)] == words.LATE
    assert states[likely] == states[careful - timedelta(days=1)] == words.AT_RISK


# --- what would mend it -----------------------------------------------------------------------------------------


def judged(boards, shop):
    asked = season.asked_of(boards, shop)
    return asked, judging.judge(boards, shop), {board.pk: f"Board {board.pk}" for board in boards}


def test_every_mend_that_is_told_is_true_when_it_is_planned_by_hand(plan, shop):
    dues = [FIRST + timedelta(days=n) for n in (20, 20, 20, 24, 60)]
    boards = season.boards_due(plan, dues)
    asked, found, labels = judged(boards, shop)
    before = words.states(asked, found.finishes, found.careful)
    assert words.LATE in before.values()
    joint, mended = planning.Joint(boards, shop), 0
    for change, _, _ in found.changed:
        again = joint.planned(change)
        after = words.states(asked, again.finishes, again.careful)
        said = words.change_words(change, asked, labels)
        for pk, state in before.items():
            own = (change.kind == "first" and change.pk != pk) or (change.kind == "later" and change.pk == pk)
            if state == words.IN_TIME or own:
                continue
            told = " ".join(words.mends(pk, asked, found, labels))
            better = words._RANK[after[pk]] < words._RANK[state]
            worse = any(words._RANK[after[other]] > words._RANK[before[other]] for other in after if other != pk)
            if said in told:
                assert better and worse is told.startswith("Only at another’s cost"), (change, pk, told)
            else:
                assert not better or worse, (change, pk, told)
            mended += better
    assert mended


def test_where_nothing_mends_it_the_day_it_would_be_ready_alone_is_told(plan, shop):
    boards = season.boards_due(plan, [FIRST + timedelta(days=1), FIRST + timedelta(days=60)])
    asked, found, labels = judged(boards, shop)
    (told,) = words.mends(1, asked, found, labels)
    alone = planning.plan(boards[:1], shop).finishes[1]
    assert told.startswith("None of the ") and words.day(planning.ready_day(FIRST, alone)) in told
    assert told.endswith("Agree on another day.")


def test_what_holds_a_late_board_up_is_told_in_days_the_longest_first(plan, shop):
    boards = season.boards_due(plan, [FIRST + timedelta(days=9)] * 4, settled=False)
    _, found, labels = judged(boards, shop)
    told = words.reason(found.held[4], labels)
    assert f"{shop.workshop.settling_days} days wood settling" in told and "Board " in told
    counts = [float(part.split(" days")[0].split()[-1]) for part in told.split(".")[0:1] for part in part.split(", ")]
    assert counts == sorted(counts, reverse=True)


# --- a season seen whole ----------------------------------------------------------------------------------------


def test_of_nine_boards_before_a_fair_so_many_are_too_many_and_without_them_the_others_fit(plan, shop):
    fair = FIRST + timedelta(days=25)
    boards = season.boards_due(plan, [fair] * 9)
    found = judging.fitting(boards, shop, fair, dict.fromkeys(range(1, 10), 0))
    assert found.left_out and len(found.pks) == 9
    end = planning.due_slot(FIRST, fair)
    rest = planning.plan([board for board in boards if board.pk not in found.left_out], shop)
    assert all(finish <= end for finish in rest.finishes.values())
    assert found.surely == sum(finish <= end for finish in rest.careful.values())
    # One fewer left out, and not all of them fit.
    fewer = planning.plan([board for board in boards if board.pk not in found.left_out[1:]], shop)
    assert any(finish > end for finish in fewer.finishes.values())
    joint = planning.Joint(boards, shop)
    for change in found.enough:
        assert all(finish <= end for finish in joint.planned(change).finishes.values())
    asked = season.asked_of(boards, shop)
    labels = {board.pk: f"Board {board.pk}" for board in boards}
    told = words.fitting_words(found, asked, labels, dict.fromkeys(labels, 1), fair)
    assert told[0] == f"Nine boards by {words.day(fair)}: {words.number(len(found.left_out))} too many."
    assert all(labels[pk] in told[1] for pk in found.left_out)


def test_one_board_that_fits_only_likely_is_told_of_as_one(plan, shop):
    asked = season.asked_of(season.boards_due(plan, [FIRST]), shop)
    fits = judging.Fitting((1,), (), 0, ())
    (told,) = words.fitting_words(fits, asked, {1: "Flag"}, {1: 1}, FIRST)
    assert told == "One board by 30 Nov 2026: it fits, but not at the careful estimate."


def test_what_nobody_waits_for_is_left_out_before_what_was_promised(plan, shop):
    fair = FIRST + timedelta(days=12)
    boards = season.boards_due(plan, [fair] * 4)
    found = judging.fitting(boards, shop, fair, {1: 2, 2: 0, 3: 2, 4: 2})
    assert found.left_out and found.left_out[0] == 2


def test_boards_that_fit_are_told_so_and_a_day_nothing_is_due_by_has_none(plan, shop):
    (board,) = boards = season.boards_due(plan, [FIRST + timedelta(days=90)])
    asked = season.asked_of(boards, shop)
    fits = judging.fitting(boards, shop, board.due, {1: 0})
    assert (fits.left_out, fits.surely, fits.enough) == ((), 1, ())
    assert words.fitting_words(fits, asked, {1: "Flag"}, {1: 2}, board.due) == [
        f"Two boards by {words.day(board.due)}: all of them fit, at the careful estimate too."
    ]
    none = judging.fitting(boards, shop, FIRST, {1: 0})
    assert words.fitting_words(none, asked, {1: "Flag"}, {1: 1}, FIRST) == [
        "No board that could be planned is due by 30 Nov 2026."
    ]
