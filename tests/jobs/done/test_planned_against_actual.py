"""What a job took is held against its plan: wood by the rack's book, hours by the log, cost by both."""

from __future__ import annotations

import secrets
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.urls import reverse

from planner.measures import Length
from shopapp.jobs.done.madeof import made_of
from shopapp.jobs.done.readers import done_page
from shopapp.jobs.models import Job
from shopapp.jobs.needs import feet_in
from shopapp.jobs.timing import timed_of
from shopapp.lumber.models import Demand, StockEntry, StockPiece
from shopapp.lumber.stock.actions import Size, undo_entry
from shopapp.lumber.stock.promises import bring_back, bring_back_whole
from shopapp.lumber.supplies.actions import undo_supply_entry, use_supply
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.cutagain import spoiled
from tests.support.log import write
from tests.support.rack import boards, glue
from tests.support.sawing import a_rack, cutting_of, sawn

mm = Length.of_mm
A_BOARD_FOOT = 144 * Fraction("25.4") ** 3


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def job(owner):
    return work.move(owner, work.job(owner, work.kept(owner)), "under way")


def page(owner, job):
    job = Job.objects.select_related("plan").get(pk=job.pk)
    return done_page(job, the_workshop(), owner)


def by_sql(job) -> dict[str, tuple[Fraction, Fraction, Decimal]]:
    """Board feet taken and back, and the worth that stayed out, of each wood: plain SQL over the rack's moves."""
    held = "NOT EXISTS (SELECT 1 FROM lumber_stockentry u WHERE u.undoes_id = e.id)"
    taken = (
        "SELECT p.wood, p.thickness, p.width, p.length, m.worth FROM lumber_stockmove m "
        "JOIN lumber_stockentry e ON e.id = m.entry_id JOIN lumber_stockpiece p ON p.id = m.piece_id "
        "JOIN lumber_demand d ON d.id = e.demand_id "
        f"WHERE e.kind = 'taken' AND d.key = %s AND {held}"
    )
    back = taken.replace("'taken'", "'returned'") + " AND m.worth > 0"
    found: dict[str, list] = {}
    with connection.cursor() as cursor:
        for sign, query in ((1, taken), (-1, back)):
            cursor.execute(query, [job.key])
            for wood, thick, wide, long, worth in cursor.fetchall():
                feet = Fraction(thick * wide * long, 10**18) / A_BOARD_FOOT
                one = found.setdefault(wood, [Fraction(0), Fraction(0), Decimal(0)])
                one[0 if sign > 0 else 1] += feet
                one[2] += sign * Decimal(str(worth))
    return {wood: tuple(one) for wood, one in found.items()}


def size(long: int, wide: int = 100) -> Size:
    return Size(thickness=mm(20), width=mm(wide), length=mm(long))


def test_what_was_taken_is_back_or_in_the_boards_or_gone_by_the_ledger_itself(owner, job):
    one, two = boards(owner, 2, wood="walnut-black", thickness=mm(20), width=mm(100), length=mm(900))
    work.give(owner, job, "take", one, two)
    bring_back(who=owner, piece=StockPiece.objects.get(pk=one.pk), offcuts=[size(300), size(200)])
    walnut = next(line for line in page(owner, job).woods if line.wood.wood == "walnut-black")
    taken, back, worth = by_sql(job)["walnut-black"]
    assert (walnut.taken, walnut.back) == (taken, back) == (
        Fraction(2 * 20 * 100 * 900) / A_BOARD_FOOT, Fraction(20 * 100 * 500) / A_BOARD_FOOT,
    )  # fmt: skip
    assert walnut.taken == walnut.back + walnut.stays + walnut.gone
    assert walnut.worth == worth
    plan = next(wood for wood in job.plan.record["woods"] if wood["wood"] == "walnut-black")
    assert (walnut.need, walnut.stays) == (feet_in(plan["gross"]), feet_in(plan["net"]))


def test_a_board_that_came_back_whole_was_not_used_and_an_offcut_cut_by_others_stays_as_it_came(owner, job):
    one, two = boards(owner, 2, wood="walnut-black", thickness=mm(20), width=mm(100), length=mm(900))
    work.give(owner, job, "take", one, two)
    bring_back_whole(who=owner, piece=StockPiece.objects.get(pk=two.pk))
    (offcut,) = bring_back(who=owner, piece=StockPiece.objects.get(pk=one.pk), offcuts=[size(400)])
    before = page(owner, job).woods
    other = work.job(owner, job.plan, label="Pennant")
    work.give(owner, other, "take", offcut)
    bring_back(who=owner, piece=StockPiece.objects.get(pk=offcut.pk), offcuts=[size(100)])
    walnut, then = (next(w for w in ones if w.wood.wood == "walnut-black") for ones in (page(owner, job).woods, before))
    assert (walnut.taken, walnut.back, walnut.worth) == (then.taken, then.back, then.worth)
    assert walnut.back == Fraction(20 * 100 * 400) / A_BOARD_FOOT
    (others,) = [line for line in page(owner, other).woods if line.pieces]
    assert (others.taken, others.back) == by_sql(other)["walnut-black"][:2]


def test_more_in_the_boards_than_was_taken_is_told_and_not_made_up(owner, job):
    (scrap,) = boards(owner, 1, wood="padauk", thickness=mm(2), width=mm(10), length=mm(10))
    work.give(owner, job, "take", scrap)
    padauk = next(line for line in page(owner, job).woods if line.wood.wood == "padauk")
    assert padauk.gone is None and padauk.gone_figure is None


def test_of_a_job_called_off_untouched_boards_come_back_and_of_those_begun_nothing_more_does(owner, owner_client, job):
    a_rack(owner)
    sheet, mark = sawn(owner, cutting_of(job))
    untouched = sorted(one["mark"] for one in sheet.pieces if one["mark"] != mark)
    body = owner_client.get(job.get_absolute_url()).content.decode()
    assert f"back to the rack whole: {', '.join(sorted(untouched, key=by_wood(sheet)))}" in body
    assert f"nothing more comes back of {mark}" in body
    typed = {"form_key": secrets.token_urlsafe(24), "state": "called off", "edit_version": job.edit_version}
    # Pressed on a page that knew of no board that is out, nothing is called off.
    owner_client.post(reverse("jobs:move", args=[job.pk]), typed)
    job.refresh_from_db()
    assert job.state == "under way"
    work.move(owner, job, "called off")
    assert set(StockPiece.objects.filter(mark__in=untouched).values_list("state", "demand")) == {("here", None)}
    assert StockEntry.objects.filter(kind="returned").get().moves.count() == len(untouched)
    waste = f"Nothing more comes back of {mark}: what is left of it is waste."
    found = page(owner, job)
    assert not found.open and found.left == [waste] and waste in job.events.first().words
    (line,) = found.woods
    assert line.lies == 0 and line.gone == line.taken - line.back
    # Nothing of it stands as out any more, on its own pages, in the list of jobs and on the rack.
    for address in (job.get_absolute_url(), reverse("lumber:piece", args=[mark]), reverse("jobs:wood", args=[job.pk])):
        assert "Out:" not in (body := owner_client.get(address).content.decode()) and ">out<" not in body
    assert (
        "cut for Flag, which was called off." in owner_client.get(reverse("lumber:piece", args=[mark])).content.decode()
    )
    assert " out</p>" not in owner_client.get(reverse("jobs:jobs") + "?state=closed").content.decode()
    # What turns up is brought back all the same.
    assert owner_client.get(reverse("jobs:back", args=[job.pk, mark])).status_code == 200


def by_wood(sheet):
    wood = {one["mark"]: (one["wood"], one["mark"]) for one in sheet.pieces}
    return wood.__getitem__


def test_boards_of_a_finished_job_are_used_and_stand_out_nowhere(owner, owner_client, job):
    a_rack(owner)
    _, mark = sawn(owner, cutting_of(job))
    assert "<strong>Out:</strong>" in owner_client.get(job.get_absolute_url()).content.decode()
    work.move(owner, job, "finished")
    body = owner_client.get(job.get_absolute_url()).content.decode()
    assert "<strong>Out:</strong>" not in body and "<strong>Used:</strong>" in body
    piece = reverse("lumber:piece", args=[mark])
    assert "Not on the rack: used up in Flag." in owner_client.get(piece).content.decode()
    assert " out</p>" not in owner_client.get(reverse("jobs:jobs") + "?state=finished").content.decode()
    # Not finished after all, they are out again.
    work.move(owner, job, "under way")
    assert "taken for Flag." in owner_client.get(piece).content.decode()


def test_of_a_job_called_off_nothing_stays_in_a_board_and_its_untouched_boards_come_back_in_one_press(
    owner, owner_client, job
):
    a_rack(owner)
    sheet, mark = sawn(owner, cutting_of(job))
    for line in page(owner, job).costs.lines:
        # What lies uncut has cost nothing yet.
        assert line.actual is None or [term["name"] for term in line.actual["terms"]] == [mark]
    work.move(owner, job, "called off")
    # As of one that was called off before its boards came back with it.
    undo_entry(who=owner, entry=StockEntry.objects.get(kind="returned"))
    found = page(owner, job)
    untouched = [piece.mark for piece in found.open.whole]
    assert sorted([*untouched, mark]) == sorted(one["mark"] for one in sheet.pieces)
    assert not found.open.rest and found.left == [f"Nothing more comes back of {mark}: what is left of it is waste."]
    assert (found.open.uncut, found.open.to_cut_again, found.open.operations) == (0, 0, [])
    for line in found.woods:
        assert line.stays is None and line.gone == line.taken - line.back - line.lies
    body = owner_client.get(reverse("jobs:done", args=[job.pk])).content.decode()
    assert "some came from elsewhere" not in body and f"All {len(untouched)} are untouched and back" in body
    pressed = {"do": "whole", "form_key": secrets.token_urlsafe(24)}
    pressed["tick"] = [f"{piece.pk}.{piece.edit_version}" for piece in found.open.whole]
    wood = reverse("jobs:wood", args=[job.pk])
    assert owner_client.post(wood, pressed).status_code == 302
    assert {piece.state for piece in StockPiece.objects.filter(mark__in=untouched)} == {"here"}
    assert StockEntry.objects.first().moves.count() == len(untouched)
    (cut,) = StockPiece.objects.filter(demand__key=job.key)
    assert cut.mark == mark and not page(owner, job).open.whole
    # Not the one that was cut, nor once more what is back, nor what somebody else has.
    for piece in (cut, StockPiece.objects.get(mark=untouched[0])):
        given = {**pressed, "form_key": secrets.token_urlsafe(24), "tick": [f"{piece.pk}.{piece.edit_version}"]}
        answer = owner_client.post(wood, given)
        assert answer.status_code == 409 and piece.mark in answer.content.decode()
    undo_entry(who=owner, entry=StockEntry.objects.first())
    assert {piece.state for piece in StockPiece.objects.filter(mark__in=untouched)} == {"taken"}
    stages = owner_client.get(job.get_absolute_url()).content.decode()
    assert "waited for" not in stages and 'aria-current="step"' not in stages


# --- hours and money --------------------------------------------------------------------------------------------


def test_hours_and_supplies_cost_what_is_written_at_the_shop_s_rates(owner, job):
    Workshop.objects.update_or_create(pk=1, defaults={"hour": Decimal(24), "overhead_hour": Decimal(3)})
    write(owner, timed_of(job), "crosscut", 50)
    write(owner, timed_of(job), "sand_dm2", 40, finishes=True)
    supply = glue(owner)
    demand, _ = Demand.objects.get_or_create(key=job.key, defaults={"label": job.label})
    used = use_supply(who=owner, supply=supply, amount=Decimal(50), on=date(2026, 3, 2), demand=demand)
    lines = {line.name: line for line in page(owner, job).costs.lines}
    # 90 minutes at 24 and at 3 an hour.
    assert Decimal(lines["Labour"].actual["value"][1]) == Decimal("36.00")
    assert Decimal(lines["Overhead"].actual["value"][1]) == Decimal("4.50")
    assert Decimal(lines["Glue"].actual["value"][1]) == -used.worth > 0
    undo_supply_entry(who=owner, entry=used)
    assert next(line for line in page(owner, job).costs.lines if line.name == "Glue").actual is None


def test_sums_hold_like_against_like_only(owner, job):
    write(owner, timed_of(job), "crosscut", 60)
    costs = page(owner, job).costs
    both = [line for line in costs.lines if line.planned and line.actual]
    assert {line.name for line in both} == {"Labour", "Overhead"} and costs.compared == 2
    assert costs.planned == sum(Decimal(line.planned["value"][1]) for line in both)
    assert costs.more == costs.actual - costs.planned


# --- before it is called finished -------------------------------------------------------------------------------


def test_offcuts_boards_cuts_and_work_left_open_are_told_before_it_is_called_finished(owner, owner_client, job):
    a_rack(owner)
    _, mark = sawn(owner, cutting_of(job))
    write(owner, timed_of(job), "crosscut", 50)
    spoiled(owner, job)
    still = page(owner, job).open
    assert mark in dict(still.offcuts) and mark not in {piece.mark for piece in still.whole}
    for line in page(owner, job).woods:
        gone = line.taken - line.back - line.lies - line.stays
        assert line.gone == (gone if gone >= 0 else None)
        assert line.lies == sum(one.taken for one in line.pieces if one.piece in still.whole)
    assert still.whole and still.to_cut_again == 1 and len(still.operations) == 1
    body = owner_client.get(reverse("jobs:done", args=[job.pk])).content.decode()
    assert "Before it is called finished" in body and "Finish it with these open" in body


def test_nothing_is_told_where_nothing_is_open_and_a_job_without_a_plan_has_a_page(owner, owner_client):
    job = work.move(owner, work.job(owner, None, label="Frame"), "under way")
    assert not page(owner, job).open
    body = owner_client.get(reverse("jobs:done", args=[job.pk])).content.decode()
    assert "Before it is called finished" not in body and "no kept plan" in body


# --- what it is made of -----------------------------------------------------------------------------------------


def test_a_piece_traces_to_its_lots_and_to_what_was_used_for_it(owner, job):
    one, two = boards(owner, 2, wood="walnut-black")
    (other,) = boards(owner, 1, wood="padauk")
    work.give(owner, job, "take", one, two, other)
    supply = glue(owner)
    demand = Demand.objects.get(key=job.key)
    use_supply(who=owner, supply=supply, amount=Decimal(5), on=date(2026, 3, 2), demand=demand)
    made = made_of(job)
    assert {lot.delivery.pk: [p.mark for p in lot.marks] for lot in made.lots} == {
        one.lot.delivery_id: sorted([one.mark, two.mark]), other.lot.delivery_id: [other.mark],
    }  # fmt: skip
    assert [entry.supply for entry in made.supplies] == [supply] and made.is_known


def test_a_helper_sees_wood_and_hours_and_neither_money_nor_suppliers(client, owner, job):
    (board,) = boards(owner, 1, wood="walnut-black")
    work.give(owner, job, "take", board)
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    body = client.get(reverse("jobs:done", args=[job.pk])).content.decode()
    assert board.mark in body and the_workshop().currency_symbol not in body
    assert board.lot.delivery.supplier.name not in body and "Cost" not in body
