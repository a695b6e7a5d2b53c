"""A quote that is accepted takes over the boards of a kept cut plan, or else free boards that serve: enough of each
wood and as little more as can be; what is missing is told, and is bought once the deposit is in."""

from __future__ import annotations

import itertools
import random
from datetime import timedelta
from fractions import Fraction

import pytest
from django.urls import reverse
from django.utils import timezone

from planner.measures import Length
from shopapp.jobs.actions import accept_quote
from shopapp.jobs.buying.readers import choices
from shopapp.jobs.needs import needs_of
from shopapp.jobs.reserving.planning import _least_over
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.readers import feet_of
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves
from shopapp.people.models import Member
from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.models import CutSheet
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.rack import boards
from tests.support.sawing import a_rack, keep


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


def accepted(owner, plan, **changes):
    return accept_quote(who=owner, quote=work.quote(owner, plan, **changes), label="Flag")


def kept_for(job) -> list[str]:
    return sorted(StockPiece.objects.filter(demand__key=job.key).values_list("mark", flat=True))


def test_boards_that_are_too_thin_too_narrow_or_too_short_are_left_and_the_smallest_that_serves_is_kept(owner, plan):
    boards(owner, 1, wood="walnut-black", thickness=Length.of_mm(20))  # W1: mills to 17, the board is 20
    boards(owner, 1, wood="walnut-black", width=Length.of_mm(20))  # W2: no strip comes out of it
    boards(owner, 1, wood="walnut-black", length=Length.of_mm(300))  # W3: shorter than what is machined
    boards(owner, 1, wood="walnut-black")  # W4
    boards(owner, 1, wood="walnut-black", length=Length.of_mm(700))  # W5: enough, and less is left of it
    assert kept_for(accepted(owner, plan)) == ["W5"]
    assert pieces_that_are_not_their_moves() == []


def test_a_board_promised_set_aside_or_out_is_never_taken(owner, plan):
    promised, aside, out, free = boards(owner, 4, wood="walnut-black")
    other = work.job(owner, label="Otter")
    work.give(owner, other, "reserve", promised)
    work.give(owner, other, "take", out)
    StockPiece.objects.filter(pk=aside.pk).update(set_aside="a shake at its end")
    assert kept_for(accepted(owner, plan)) == [free.mark]


def test_what_is_missing_is_told_and_stands_on_the_list_to_buy(owner, owner_client, plan):
    boards(owner, 1, wood="walnut-black")
    job = accepted(owner, plan, deposit=Fraction(1, 2))
    need = needs_of(plan)
    words = job.events.first().words
    assert words.startswith("Not on the rack: ") and "Black walnut" not in words
    assert f"{the_workshop().counts_wood.told(need['sycamore'])} of American sycamore" in words
    assert words.endswith("It stands on the list to buy; it is bought after the deposit is in.")
    assert next(one.label for one in choices(the_workshop())) == "Flag"
    asked = {"asked": "1", "for": f"job.{job.pk}", "waste": "25"}
    page = owner_client.get(reverse("jobs:buying"), asked).content.decode()
    assert "American sycamore" in page


def test_without_a_deposit_nothing_is_said_of_one(owner, plan):
    assert "deposit" not in accepted(owner, plan).events.first().words


def test_a_rack_that_gives_all_of_it_leaves_nothing_to_say(owner, plan):
    for wood in needs_of(plan):
        boards(owner, 1, wood=wood)
    job = accepted(owner, plan)
    assert len(kept_for(job)) == 4 and job.events.count() == 1


def test_the_day_it_was_promised_for_becomes_the_job_s(owner, plan):
    soon, late = (timezone.localdate() + timedelta(days=days) for days in (40, 60))
    assert accepted(owner, plan, wanted_by=soon, there_by=late).due == late
    assert accepted(owner, plan, wanted_by=soon).due == soon
    assert accepted(owner, plan).due is None


def test_no_set_of_boards_measures_nearer_above_the_need():
    """Against every subset of up to nine boards; a twentieth of a board foot is not told apart on the way."""
    chance = random.Random(8)
    for _ in range(60):
        feet = {n: Fraction(chance.randint(20, 400), 100) for n in range(chance.randint(1, 9))}
        need = Fraction(chance.randint(10, 900), 100)
        picked = _least_over(feet, need)
        sums = [
            sum((feet[n] for n in some), Fraction(0))
            for size in range(len(feet) + 1)
            for some in itertools.combinations(feet, size)
        ]
        enough = [one for one in sums if one >= need]
        got = sum((feet[n] for n in picked), Fraction(0))
        if not enough:
            assert picked == set(feet)
        else:
            assert need <= got <= min(enough) + Fraction(1, 20) * len(feet)


def test_a_cut_plan_kept_for_the_bare_plan_and_its_boards_become_the_job_s_and_nothing_else_is_reserved(owner, plan):
    a_rack(owner)
    sheet = keep(owner, cutting_of_plan(plan))
    held = sorted(StockPiece.objects.filter(demand__key=sheet.key).values_list("mark", flat=True))
    job = accepted(owner, plan)
    assert kept_for(job) == held and CutSheet.objects.filter(key=job.key).count() == 1
    assert "are Flag’s now" in job.events.first().words and "Not on the rack" not in job.events.first().words


def test_feet_are_those_the_pages_of_the_rack_count(owner, plan):
    (piece,) = boards(owner, 1, wood="walnut-black")
    job = accepted(owner, plan)
    assert kept_for(job) == [piece.mark] and feet_of(piece) > needs_of(plan)["walnut-black"]
