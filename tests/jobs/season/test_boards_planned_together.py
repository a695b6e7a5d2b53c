"""Boards with days of their own are made by the same hands, jigs and clamps; the checker of timetables looks at it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise

import pytest

from planner.gluing import HANDS, by_their_days, faults_of, held_up, only
from planner.measures import Length
from shopapp.jobs.season import judging, planning, words
from shopapp.people.models import Member
from tests.support import season, work

pytestmark = pytest.mark.django_db
FIRST = date(2026, 11, 30)
DAY = 288


@pytest.fixture(scope="module")
def plan(rows_of_this_file):
    owner = Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)
    return work.kept(owner)


@pytest.fixture
def shop(plan):
    return season.shop_from(FIRST)


def days(*many: int) -> list[date]:
    return [FIRST + timedelta(days=n) for n in many]


@pytest.mark.parametrize("settled", [True, False])
def test_a_joint_timetable_can_be_lived_by_as_it_is_and_with_every_change(plan, shop, settled):
    joint = planning.Joint(season.boards_due(plan, days(8, 9, 10, 12, 14, 60), settled=settled), shop)
    judged = judging.judge(joint.boards, shop)
    kinds = {change.kind for change, _, _ in judged.changed}
    assert kinds >= {"more", "evening", "first", "later"} and ("settled" in kinds) is not settled
    for change in (None, *(change for change, _, _ in judged.changed)):
        found = joint.planned(change)
        assert found.faults == () == faults_of(found.likely.timetable, found.likely.made.work)
        # Each board ends with its last step, seen step by step.
        for pk, place in joint.places.items():
            steps = zip(
                found.likely.made.steps, found.likely.made.work.tasks, found.likely.timetable.starts, strict=True
            )
            assert found.finishes[pk] == max(at + t.span + t.rest for s, t, at in steps if s.board == place)


def test_hands_are_nowhere_twice_and_no_evening_is_longer_than_it_is(plan, shop):
    found = planning.plan(season.boards_due(plan, days(20, 25, 30)), shop)
    work_, starts = found.likely.made.work, found.likely.timetable.starts
    spans = sorted((at, at + task.attended) for task, at in zip(work_.tasks, starts, strict=True) if task.attended)
    assert shop.workshop.people == 1
    assert all(one[1] <= other[0] for one, other in pairwise(spans))
    assert all(any(opens <= a and b <= closes for opens, closes in shop.sessions) for a, b in spans)


def test_a_board_alone_is_ready_no_later_than_among_others(plan, shop):
    boards = season.boards_due(plan, days(20, 21, 22, 23))
    together = planning.plan(boards, shop).finishes
    alone = {board.pk: planning.plan([board], shop).finishes[board.pk] for board in boards}
    assert all(alone[pk] <= together[pk] for pk in together) and max(together.values()) > max(alone.values())


def test_what_is_due_first_is_made_first_whatever_order_they_were_written_down_in(plan, shop):
    boards = season.boards_due(plan, [None, *days(70, 20)])
    found = planning.plan(boards, shop).finishes
    assert found[3] < found[2] < found[1]


def test_the_careful_finish_is_never_before_the_likely_one_and_its_steps_take_longer(plan, shop):
    boards = season.boards_due(plan, days(20, 25, 30))
    assert all(board.pace > 1 for board in boards)
    found = planning.plan(boards, shop)
    assert found.stretched and all(found.careful[pk] >= found.finishes[pk] for pk in found.finishes)
    joint = planning.Joint(boards, shop)
    likely, careful = (sum(step.attended for step in made.steps) for made in (joint.likely, joint.careful))
    # Photographs and packing are minutes that stand in the shop's settings; the rest is paced.
    around = 3 * (shop.workshop.photographs + shop.workshop.packing)
    assert careful - around == (likely - around) * boards[0].pace


def test_ticked_steps_are_done_and_a_board_that_is_all_ticked_is_ready(plan, shop):
    (board,) = season.boards_due(plan, days(20))
    joint = planning.Joint([board], shop)
    every = {step.key[1:]: -5 * DAY * 7 for step in joint.likely.steps}
    begun = planning.Board(1, board.record, board.due, dict(list(every.items())[:4]), True)
    done = planning.Board(2, board.record, board.due, every, True)
    found = planning.plan([begun, done], shop)
    assert found.finishes[2] == found.careful[2] == 0 < found.finishes[1] <= planning.plan([board], shop).finishes[1]


def test_a_board_the_weeks_do_not_hold_is_left_out_and_the_others_keep_theirs(plan):
    short = season.shop_from(FIRST, weeks=3)
    boards = season.boards_due(plan, days(15, 16, 17, 18, 19, 20, 21, 22, 23, 24))
    found = planning.plan(boards, short)
    late = [pk for pk, finish in found.finishes.items() if finish is None]
    assert late and len(late) < 10 and found.faults == ()
    assert words.state_of(None, None, 10**6) == words.LATE


def test_what_holds_a_board_up_adds_up_to_its_finish(plan, shop):
    boards = season.boards_due(plan, days(20, 21, 22, 23), settled=False)
    found = planning.plan(boards, shop)
    for pk in found.finishes:
        held = found.held_up(pk)
        assert held.work + sum(held.waits.values()) + held.hours + sum(held.taken.values()) == found.finishes[pk]
    assert found.held_up(1).waits["settle"] == shop.workshop.settling_days * DAY
    assert found.held_up(1).waits["wood"] == shop.workshop.buying_days * DAY


def test_a_board_alone_waits_for_nobody(plan, shop):
    (board,) = season.boards_due(plan, days(20))
    found = planning.plan([board], shop)
    assert found.held_up(1).by == {}


def test_paces_of_one_change_nothing_and_those_of_two_double_the_minutes_at_the_bench(plan, shop):
    boards = season.boards_due(plan, days(20))
    plain = planning._work(boards, shop, careful=False)
    slow = planning.Board(1, {**boards[0].record}, boards[0].due, {}, True)
    figures = {**slow.record["figures"]}
    likely = Fraction(figures["hours"]["value"][1])
    figures["hours_careful"] = {**figures["hours"], "value": ["fraction", str(likely * 2)]}
    slow = planning.Board(1, {**slow.record, "figures": figures}, slow.due, {}, True)
    doubled = planning._work([slow], shop, careful=True)
    around = shop.workshop.photographs + shop.workshop.packing
    told = [sum(step.attended for step in made.steps) - around for made in (plain, doubled)]
    assert told[1] == told[0] * 2


def test_leaving_boards_out_leaves_the_links_of_the_others(plan, shop):
    joint = planning.Joint(season.boards_due(plan, days(20, 30)), shop)
    one = only(joint.likely, {2})
    alone = planning._work(season.boards_due(plan, days(20, 30))[1:], shop, careful=False)
    assert [task.attended for task in one.work.tasks] == [task.attended for task in alone.work.tasks]
    assert one.work.links == alone.work.links
    found = by_their_days(one, {})
    assert faults_of(found.timetable, one.work) == () and held_up(found, 2).taken.keys() <= {HANDS, *one.work.capacity}


def test_a_board_no_jig_takes_is_refused_in_words_and_the_others_are_planned(plan, shop):
    boards = season.boards_due(plan, days(20, 30))
    short = replace(shop, glue=replace(shop.glue, jigs=(replace(shop.glue.jigs[0], longest=Length.of_mm(10)),)))
    refused = planning.plan(boards, short)
    assert refused.finishes == {} and "row jig" in refused.refused[1] and "row jig" in refused.refused[2]
    # One of them is made already, which is no reason to refuse the other.
    joint = planning.Joint(boards[:1], shop)
    every = {step.key[1:]: -9 * DAY for step in joint.likely.steps}
    mixed = [replace(boards[0], ticked=every), boards[1]]
    assert planning.plan(mixed, shop).refused == {} == judging.judge(mixed, shop).refused
    assert judging.judge(boards, short).refused.keys() == {1, 2} == planning.plan(boards, short).refused.keys()
    assert judging.fitting(boards, short, days(40)[0], {1: 0, 2: 0}).pks == ()
