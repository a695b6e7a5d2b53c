"""A job's cost is shared over its pieces to the coin, and put right by differences."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from planner.measures import Length
from shopapp.jobs.models import Job
from shopapp.jobs.timing import timed_of
from shopapp.listings.costing.actions import differences, write_difference
from shopapp.listings.models import PieceCost
from shopapp.listings.pieces.actions import number_pieces
from shopapp.lumber.models import Demand
from shopapp.lumber.supplies.actions import use_supply
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from tests.support import work
from tests.support.log import write
from tests.support.rack import boards, glue

mm = Length.of_mm
IN_NO_PIECE = {"Reserve for boards lost", "Packaging"}


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def job(owner):
    Workshop.objects.update_or_create(pk=1, defaults={"hour": Decimal(24), "overhead_hour": Decimal(3)})
    return work.move(owner, work.job(owner, work.kept(owner, quantity=3)), "under way", "finished")


def numbered(owner, job: Job, count: int = 3):
    return number_pieces(who=owner, job=job, count=count)


def planned(job: Job) -> dict[str, Decimal]:
    """The lines of the plan as its record has them, those left out that a piece does not carry."""
    terms = job.plan.record["figures"]["cost_all"]["terms"]
    return {one["name"]: Decimal(one["figure"]["value"][1]) for one in terms if one["name"] not in IN_NO_PIECE}


def by_sql(*columns: str) -> dict[tuple, tuple[Decimal, int]]:
    named = ", ".join(columns)
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {named}, SUM(amount), SUM(minutes) FROM listings_piececost GROUP BY {named}")
        return {row[:-2]: (Decimal(str(row[-2])).quantize(Decimal("0.01")), int(row[-1])) for row in cursor.fetchall()}


def test_three_pieces_share_what_was_planned_to_the_coin_where_nothing_was_written(owner, job):
    pieces = numbered(owner, job)
    assert {name: amount for (name,), (amount, _) in by_sql("name").items()} == {
        name: amount for name, amount in planned(job).items() if amount
    }
    shares = sorted(amount for amount, _ in by_sql("piece_id").values())
    lines = PieceCost.objects.values("name").distinct().count()
    assert len(shares) == 3 and shares[-1] - shares[0] <= lines * Decimal("0.01")
    assert set(PieceCost.objects.values_list("basis", "on", "currency_symbol")) == {("planned", pieces[0].made_on, "€")}


def test_hours_are_shared_to_the_minute_and_stand_on_the_labour_alone(owner, job):
    numbered(owner, job)
    hours = next(t for t in job.plan.record["figures"]["cost_all"]["terms"] if t["name"] == "Labour")["figure"]["terms"]
    minutes = Fraction(next(t for t in hours if t["name"] == "Hours")["figure"]["value"][1]) * 60
    assert abs(sum(PieceCost.objects.values_list("minutes", flat=True)) - minutes) <= Fraction(1, 2)
    assert not PieceCost.objects.exclude(kind="labour").exclude(minutes=0).exists()


def test_what_was_written_down_counts_in_place_of_the_plan(owner, job):
    (board,) = boards(owner, 1, wood="walnut-black", thickness=mm(20), width=mm(100), length=mm(900))
    worth = board.worth
    work.give(owner, work.move(owner, job, "under way"), "take", board)
    write(owner, timed_of(job), "crosscut", 100)
    numbered(owner, work.move(owner, job, "finished"))
    kinds = by_sql("kind", "basis")
    # 100 minutes at 24 and at 3 an hour.
    assert kinds["labour", "written"] == (Decimal("40.00"), 100)
    assert kinds["overhead", "written"] == (Decimal("5.00"), 0)
    assert kinds["wood", "written"][0] == worth
    assert PieceCost.objects.filter(kind="wood", basis="written").values_list("name", flat=True).distinct().count() == 1


def test_what_is_known_better_later_is_a_difference_and_nothing_is_changed(owner, job):
    numbered(owner, job)
    before = list(PieceCost.objects.order_by("pk").values_list())
    supply = glue(owner)
    demand, _ = Demand.objects.get_or_create(key=job.key, defaults={"label": job.label})
    used = use_supply(who=owner, supply=supply, amount=Decimal(50), on=timezone.localdate(), demand=demand)
    assert len(differences(job)) == 6
    write_difference(who=owner, job=job)
    assert list(PieceCost.objects.order_by("pk").values_list())[: len(before)] == before
    assert by_sql("name", "basis")["Glue", "planned"][0] == 0
    assert by_sql("name")[("Glue",)][0] == -used.worth
    assert not differences(job) and not write_difference(who=owner, job=job)


def test_a_piece_more_of_the_same_job_takes_its_share_from_the_others(owner, job):
    numbered(owner, job, 2)
    whole = by_sql("currency_symbol")
    numbered(owner, job, 1)
    assert by_sql("currency_symbol") == whole
    shares = sorted(amount for amount, _ in by_sql("piece_id").values())
    assert len(shares) == 3 and shares[-1] - shares[0] < Decimal("0.20")


def test_what_was_planned_in_another_currency_stays_in_it(owner, job):
    Workshop.objects.update(currency_symbol="$")
    write(owner, timed_of(job), "crosscut", 60)
    numbered(owner, job)
    kinds = by_sql("kind", "currency_symbol")
    assert kinds["labour", "$"] == (Decimal("24.00"), 60)
    assert ("labour", "€") not in kinds and kinds["supplies", "€"][0] > 0


def test_a_job_without_a_plan_costs_what_was_written_of_it(owner):
    job = work.move(owner, work.job(owner, None, label="Frame"), "under way", "finished")
    numbered(owner, job, 1)
    assert not PieceCost.objects.exists()
    write(owner, timed_of(job), "whole", 30)
    write_difference(who=owner, job=job)
    assert sum(PieceCost.objects.values_list("minutes", flat=True)) == 30


def test_what_a_piece_cost_is_the_owner_s(owner, job):
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    with pytest.raises(PermissionDenied):
        write_difference(who=helper, job=job)


def test_one_press_writes_what_is_known_better_once_and_its_page_says_so(owner_client, owner, job):
    piece = numbered(owner, job)[0]
    address = reverse("listings:cost", args=[piece.pk])
    page = owner_client.get(address).content.decode()
    assert "as planned" in page and "Known better" not in page
    write(owner, timed_of(job), "crosscut", 90)
    page = owner_client.get(address)
    assert "Known better by now" in page.content.decode() and page.context["of_pieces"] == 3
    sent = {"form_key": page.context["form"].fresh_key()}
    for _ in range(2):
        assert owner_client.post(address, sent).url == address
    labour = by_sql("kind", "basis")
    assert labour["labour", "written"][1] == 90 and labour["labour", "planned"] == (0, 0)
    assert "Known better" not in owner_client.get(address).content.decode()
