"""What prices of sold boards put by for boards lost is held against what was mended and made again out of it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.urls import reverse

from planner.measures import Length, round_half_up
from shopapp.jobs.actions import JobFacts, make_job
from shopapp.jobs.done.reserve import LINE, reserve_of
from shopapp.jobs.timing import timed_of
from shopapp.listings.pieces.actions import number_pieces
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size
from shopapp.lumber.stock.promises import bring_back
from shopapp.people.models import Member
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.log import write
from tests.support.pieces import sold
from tests.support.rack import boards

mm = Length.of_mm


def put_by(plan) -> Decimal:
    """Of all boards of a plan, read from its record by hand."""
    lines = plan.record["figures"]["cost_all"]["terms"]
    return Decimal(next(line["figure"]["value"][1] for line in lines if line["name"] == LINE))


def amount(figure) -> Decimal:
    return Decimal(figure["value"][1])


@pytest.fixture
def three(owner):
    """A job of three boards, finished and numbered, none of them sold."""
    job = work.move(owner, work.job(owner, work.kept(owner, quantity=3), kind="sale"), "under way", "finished")
    return job, number_pieces(who=owner, job=job, count=3)


def a_repair(owner, of, settled: str = "reserve"):
    facts = JobFacts(label="A corner mended", kind="repair", of=of, settled=settled)
    return work.move(owner, make_job(who=owner, facts=facts), "under way")


def test_nothing_is_kept_before_a_board_is_sold_and_then_its_share(owner, three):
    job, pieces = three
    assert amount(reserve_of(the_workshop()).kept) == 0
    sold(owner, pieces[0])
    found = reserve_of(the_workshop())
    assert amount(found.kept) == round_half_up(Fraction(put_by(job.plan)) / 3, 2) > 0
    (term,) = found.kept["terms"]
    assert term["name"] == "Flag, 1 of 3 sold" and amount(term["figure"]["terms"][0]["figure"]) == put_by(job.plan)
    for piece in pieces[1:]:
        sold(owner, piece)
    assert amount(reserve_of(the_workshop()).kept) == put_by(job.plan)


def test_a_finished_repair_uses_what_is_written_down_of_it_and_a_charged_one_does_not(owner, three):
    """Wood by the rack's moves, hours at the rates of today, by a few plain lines."""
    job, pieces = three
    sold(owner, pieces[0])
    repair, charged = a_repair(owner, job), a_repair(owner, job, "charged")
    (board,) = boards(owner, 1, wood="walnut-black", thickness=mm(20), width=mm(100), length=mm(900))
    for one, minutes in ((repair, 90), (charged, 600)):
        write(owner, timed_of(one), "sand_dm2", minutes)
    work.give(owner, repair, "take", board)
    piece = StockPiece.objects.get(pk=board.pk)
    worth = piece.worth
    bring_back(who=owner, piece=piece, offcuts=[Size(thickness=mm(20), width=mm(100), length=mm(450))])
    assert amount(reserve_of(the_workshop()).used) == 0
    for one in (repair, charged):
        work.move(owner, one, "finished")
    shop, found = the_workshop(), reserve_of(the_workshop())
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT SUM(CASE WHEN e.kind = 'taken' THEN m.worth ELSE -m.worth END) FROM lumber_stockmove m "
            "JOIN lumber_stockentry e ON e.id = m.entry_id JOIN lumber_demand d ON d.id = e.demand_id "
            "WHERE d.key = %s AND m.worth > 0",
            [repair.key],
        )
        wood = Decimal(str(cursor.fetchone()[0]))
    assert 0 < wood < worth or worth == 0
    hours = round_half_up(Fraction(3, 2) * Fraction(shop.hour), 2)
    hours += round_half_up(Fraction(3, 2) * Fraction(shop.overhead_hour), 2)
    assert amount(found.used) == wood + hours
    assert amount(found.left) == amount(found.kept) - amount(found.used) and found.is_overdrawn
    assert [term["name"] for term in found.used["terms"]] == ["A corner mended"]


def test_its_page_shows_the_sums_to_the_owner_and_no_money_to_a_helper(owner, owner_client, client, three):
    job, pieces = three
    sold(owner, pieces[0])
    repair = a_repair(owner, job)
    page = reverse("jobs:done", args=[repair.pk])
    body = owner_client.get(page).content.decode()
    assert "Against the reserve" in body and "Kept by prices" in body and "Left of it" in body
    assert "Against the reserve" not in owner_client.get(reverse("jobs:done", args=[job.pk])).content.decode()
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    assert "Kept by prices" not in client.get(page).content.decode()


def test_a_sold_board_without_a_plan_is_told_and_not_guessed_at(owner):
    job = work.move(owner, work.job(owner, None, label="Frame", kind="sale"), "under way", "finished")
    (piece,) = number_pieces(who=owner, job=job)
    sold(owner, piece)
    found = reserve_of(the_workshop())
    assert found.unknown == ["Frame"] and amount(found.kept) == 0


def test_it_asks_as_often_for_many_jobs_as_for_few(owner, three, django_assert_max_num_queries):
    job, pieces = three
    sold(owner, pieces[0])
    for _ in range(3):
        work.move(owner, a_repair(owner, job), "finished")
    with django_assert_max_num_queries(8):
        reserve_of(the_workshop())
