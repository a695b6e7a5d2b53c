"""Parts that were spoiled are made up for by spares first; the rest is cut again, and the strips for it are listed."""

from __future__ import annotations

import json
import secrets
from fractions import Fraction

import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse

from planner.cutting import recut
from planner.cutting.fromshop import Wishes, cuts_in
from planner.cutting.lumber import CuttingError
from planner.errors import PlannerError
from planner.measures import Length
from planner.shop import Shop
from shopapp.jobs.models import PartEntry
from shopapp.jobs.spoiled.actions import take_back, write_parts
from shopapp.jobs.spoiled.planning import alike_in
from shopapp.jobs.spoiled.readers import recut_of
from shopapp.people.models import Member
from shopapp.workshop.readers import the_workshop
from tests.support import work

Kind = PartEntry.Kind
mm = Length.of_mm


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def job(owner):
    return work.move(owner, work.job(owner, work.kept(owner)), "under way")


@pytest.fixture
def helper(db):
    return Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)


def run_of(job, wood="walnut-black"):
    """The parts of one size that has a spare."""
    return next(one for one in alike_in(job.plan) if one.wood == wood and one.spares)


def spoil(owner, job, alike, count, kind=Kind.SPOILED, why="torn out"):
    return write_parts(who=owner, job=job, kind=kind, part=alike.parts[0], count=count, why=why)


def to_cut(owner, job) -> int:
    return recut_of(job, the_workshop(), owner, money=False).to_cut


def by_sql(job) -> dict[int, int]:
    """What is to be cut again of each part, by plain SQL over the entries, spares added by hand."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT part, SUM(CASE WHEN kind = 'again' THEN -count ELSE count END) FROM jobs_partentry e "
            "WHERE job_id = %s AND kind <> 'taken back' "
            "AND NOT EXISTS (SELECT 1 FROM jobs_partentry u WHERE u.undoes_id = e.id) GROUP BY part",
            [job.pk],
        )
        return {part: int(total) for part, total in cursor.fetchall()}


# --- the arithmetic ---------------------------------------------------------------------------------------------


def test_spares_are_those_of_the_cut_plan_whatever_the_boards(owner):
    plan = work.kept(owner, quantity=3)
    shop = Shop()
    alike = recut.parts_alike(plan.record, shop.spoil_rate, shop.spare_confidence)
    cuts = cuts_in(plan.record, shop, Wishes())
    assert sum(one.spares for one in alike) == sum(cut.spares for cut in cuts) > 0
    assert sum(one.planned for one in alike) == sum(cut.count for cut in cuts)
    for wood in plan.record["woods"]:
        assert sum(one.spares for one in alike if one.wood == wood["wood"]) == wood["spares"]


def test_strips_that_are_cut_again_hold_their_parts_by_hand_count():
    """Seven pieces of 50 mm and a 3 mm kerf each are 371; two trims of 25 and the grip of 100 make it 521 mm. One
    piece of 17 asks for 170, but no machine takes less than 305."""
    seven = recut.Alike((0,), "run", "padauk", mm("17.8"), mm("17.3"), mm(21), mm(50), 30, 2, False)
    one = recut.Alike((1,), "tile", "sapele", mm("17.8"), mm("17.3"), mm(21), mm(17), 30, 2, False)
    first, second = recut.strips_again([(seven, 7), (one, 1)], Shop())
    assert [(strip.needed, strip.count, strip.cuts) for strip in first.strips] == [(mm(521), 1, ((mm(50), 7),))]
    assert [(strip.needed, strip.count) for strip in second.strips] == [(mm(305), 1)]
    # 521 × (17.8 + 3) × (21 + 3) mm³, a board foot being 144 cubic inches.
    assert first.figure.value == Fraction(521) * Fraction("20.8") * 24 / (144 * Fraction("25.4") ** 3)


def test_a_part_longer_than_is_ripped_by_now_is_told():
    long = recut.Alike((0,), "through row", "padauk", mm(18), mm(17), mm(21), mm(1100), 30, 2, False)
    with pytest.raises(CuttingError, match="more than a rough length of 1200 mm gives"):
        recut.strips_again([(long, 1)], Shop())


# --- at the bench -----------------------------------------------------------------------------------------------


def test_spares_go_first_and_what_is_left_is_cut_again(owner, job):
    run = run_of(job)
    spoil(owner, job, run, run.spares)
    assert to_cut(owner, job) == 0
    spoil(owner, job, run, 2)
    spoil(owner, job, run, 1, Kind.BESIDES, "a trial for the oil")
    assert to_cut(owner, job) == 3 == by_sql(job)[run.parts[0]] - run.spares
    spoil(owner, job, run, 3, Kind.AGAIN, "")
    assert to_cut(owner, job) == 0 == by_sql(job)[run.parts[0]] - run.spares


def test_an_entry_taken_back_counts_no_more_and_stays_in_the_story(owner, job):
    run = run_of(job)
    entry = spoil(owner, job, run, run.spares + 2)
    back = take_back(who=owner, job=job, entry=entry)
    page = recut_of(job, the_workshop(), owner, money=False)
    assert page.to_cut == 0 and not page.lines and [line.entry for line in page.story] == [back, entry]
    with pytest.raises(PlannerError, match="already"):
        take_back(who=owner, job=job, entry=entry)
    with pytest.raises(PlannerError, match="already"):
        take_back(who=owner, job=job, entry=back)


@pytest.mark.parametrize(
    ("kind", "count", "words"),
    [
        (Kind.SPOILED, 9999, "more than there are"),
        (Kind.AGAIN, 1, "0 of it are to be cut again"),
        (Kind.SPOILED, 0, "no number"),
        ("burnt", 1, "Nothing was said"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(owner, job, kind, count, words):
    with pytest.raises(PlannerError, match=words):
        spoil(owner, job, run_of(job), count, kind)
    assert not PartEntry.objects.exists()


def test_a_reason_is_asked_for_and_a_job_that_is_over_takes_none(owner, job):
    with pytest.raises(PlannerError, match="not said why"):
        spoil(owner, job, run_of(job), 1, why=" ")
    work.move(owner, job, "called off")
    with pytest.raises(PlannerError, match="called off"):
        spoil(owner, job, run_of(job), 1)


def test_what_was_written_of_another_plan_counts_no_more(owner, job):
    run = run_of(job)
    spoil(owner, job, run, run.spares + 1)
    job.plan = work.beside(owner, job.plan, quantity=2)
    job.save()
    page = recut_of(job, the_workshop(), owner, money=False)
    assert page.to_cut == 0 and len(page.story) == 1 and not page.story[0].counts


@pytest.mark.storage
def test_the_database_refuses_to_change_or_delete_an_entry(owner, job):
    entry = spoil(owner, job, run_of(job), 1)
    for act in (lambda: PartEntry.objects.filter(pk=entry.pk).update(count=2), entry.delete):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            act()


# --- the page ---------------------------------------------------------------------------------------------------


def typed(job, **changes) -> dict[str, str]:
    run = run_of(job)
    return {
        "kind": Kind.SPOILED, "part": str(run.parts[0]), "count": str(run.spares + 3), "why": "cut short",
        "form_key": secrets.token_urlsafe(24), **changes,
    }  # fmt: skip


def test_a_form_sent_twice_is_counted_once(owner_client, owner, job):
    page, sent = reverse("jobs:spoiled", args=[job.pk]), typed(job)
    for _ in range(2):
        owner_client.post(page, sent)
    assert to_cut(owner, job) == 3 and PartEntry.objects.count() == 1


def test_a_refusal_keeps_what_was_typed(owner_client, job):
    answer = owner_client.post(reverse("jobs:spoiled", args=[job.pk]), typed(job, count="9000"))
    assert answer.status_code == 422
    assert "more than there are" in answer.content.decode() and 'value="9000"' in answer.content.decode()


def test_a_helper_writes_and_sees_wood_but_no_money_and_takes_back_only_their_own(client, owner, helper, job):
    mine = spoil(owner, job, run_of(job), 1)
    client.force_login(helper)
    page = reverse("jobs:spoiled", args=[job.pk])
    client.post(page, typed(job))
    body = client.get(page).content.decode()
    assert "Strips to rip" in body and the_workshop().currency_symbol not in body
    theirs = PartEntry.objects.get(who=helper)
    key = {"form_key": secrets.token_urlsafe(24)}
    assert client.post(reverse("jobs:spoiled_back", args=[job.pk, mine.pk]), key).status_code == 403
    assert client.post(reverse("jobs:spoiled_back", args=[job.pk, theirs.pk]), key).status_code == 302
    assert list(PartEntry.objects.filter(undoes__isnull=False).values_list("undoes", flat=True)) == [theirs.pk]


def test_the_owner_is_told_what_the_wood_costs_at_the_plan_s_price(owner_client, owner, job):
    run = run_of(job)
    spoil(owner, job, run, run.spares + 1)
    line = owner_client.get(reverse("jobs:spoiled", args=[job.pk])).context["recut"].strips[0]
    price = next(w for w in job.plan.record["woods"] if w["wood"] == run.wood)["price"]
    feet = Fraction(line.figure["value"][1])
    assert abs(Fraction(line.cost["value"][1]) - feet * Fraction(price)) <= Fraction(1, 200)
    assert json.dumps(line.cost)
