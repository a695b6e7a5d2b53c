"""The buying list: what the rack does not give for what is ticked, in the yard's units, with yield and cost."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.jobs.buying import planning
from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock.actions import scrap_piece
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.cutting.doing import actions
from shopapp.plans.cutting.doing.actions import Back
from shopapp.plans.cutting.doing.balance import waiting_of
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.standing import standing_of
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.rack import boards
from tests.support.sawing import WOODS, a_job, a_rack, cutting_of, keep
from tests.support.shop import board, design_with_pattern

mm = Length.of_mm


def listed(client, **asked):
    page = client.get(reverse("jobs:buying"), asked)
    assert page.status_code == 200
    return page


def scrapped(owner, wood: str) -> None:
    for piece in StockPiece.objects.filter(wood=wood, state="here"):
        scrap_piece(who=owner, piece=piece, reason="worm")


def test_opened_without_a_word_it_is_for_every_job_in_hand_and_not_for_plans(owner, owner_client):
    a_rack(owner)
    job = a_job(owner)
    pennant = design_with_pattern(owner, name="Pennant")
    keep_plan(who=owner, version=pennant.versions.get(), board=board(), workshop=the_workshop())
    page = listed(owner_client)
    assert [one.label for one in page.context["choices"]] == [job.label, "Pennant, drawing 1"]
    assert [one.label for one in page.context["ticked"]] == [job.label]
    assert page.context["found"].lines == [] and "Nothing is to be bought" in page.content.decode()
    assert {one.wood.wood for one in page.context["found"].enough} == set(WOODS)


def test_a_finished_job_asks_for_no_wood(owner, owner_client):
    job = a_job(owner)
    assert [one.tick for one in listed(owner_client).context["choices"]] == [f"job.{job.pk}"]
    work.move(owner, job, "under way", "finished")
    assert [one.tick for one in listed(owner_client).context["choices"]] == [f"plan.{job.plan_id}"]


def test_nothing_ticked_lists_nothing_and_says_so(owner, owner_client):
    a_job(owner)
    page = listed(owner_client, asked="1")
    assert page.context["ticked"] == [] and "Tick at least one of them" in page.content.decode()


def test_what_lacks_is_told_by_wood_and_thickness_with_boards_that_were_bought_before(owner, owner_client):
    a_rack(owner)
    a_job(owner)
    scrapped(owner, "walnut-black")
    (line,) = listed(owner_client).context["found"].lines
    assert (line.wood.wood, line.thickness) == ("walnut-black", "32 mm")
    (first,) = line.buy.likely
    assert (first.count, first.width, first.length, first.before) == (1, mm(150), mm(1200), True)
    assert line.buy.words == "one 32 mm of 150 mm × 1200 mm or alike"
    # 32 by 150 by 1200 mm in board feet of 144 cubic inches, at the 12.00 of the one delivery.
    feet = Fraction(32 * 150 * 1200) / (144 * Fraction("25.4") ** 3)
    assert first.amount.value == feet and line.ask["value"] == ["fraction", str(feet)]
    assert line.buy.cost.median.value == Decimal("29.29") == round(Decimal(12) * feet.numerator / feet.denominator, 2)
    assert line.one_price


def test_prices_of_several_deliveries_make_a_range_with_tax_that_came_on_top(owner, owner_client):
    a_rack(owner)
    for price in ("9", "15"):
        boards(owner, 1, wood="walnut-black", thickness=mm(32), length=mm(1200), price=Decimal(price))
    a_job(owner)
    scrapped(owner, "walnut-black")
    (line,) = listed(owner_client).context["found"].lines
    feet = Fraction(32 * 150 * 1200) / (144 * Fraction("25.4") ** 3)
    for name, price in (("least", 9), ("median", 12), ("most", 15)):
        assert abs(Fraction(getattr(line.buy.cost, name).value) - feet * price) <= Fraction(1, 200)
    # A yard that adds tax to its prices is dearer by that tax.
    lot = StockPiece.objects.first().lot
    lot.delivery.tax, lot.delivery.tax_included, lot.price = Fraction(1, 4), False, Decimal(12)
    assert planning.bought([lot])[0].price == Decimal(15)


def test_what_it_comes_to_in_all_leaves_out_what_has_no_price_and_says_so(owner, owner_client):
    a_rack(owner, woods=WOODS[:3])
    a_job(owner)
    for wood in ("sycamore", "walnut-black"):
        scrapped(owner, wood)
    page = listed(owner_client)
    found = page.context["found"]
    assert len(found.lines) == 3 and found.unpriced == 1
    assert found.in_all["median"] == sum(line.buy.cost.median.value for line in found.lines if line.buy.cost)
    assert "; 1 without a price left out" in page.content.decode()


def test_thirty_per_cent_waste_and_adding_thirty_per_cent_are_told_apart(owner, owner_client):
    """Of 10 bought, 30 % waste leaves 7; 30 % added to 7 is 9.1 (woodweb.com, Calculating Waste from Rough Lumber)."""
    a_rack(owner)
    a_job(owner)
    scrapped(owner, "sycamore")
    page = listed(owner_client, waste="30")
    (line,) = page.context["found"].lines
    net = Fraction(line.figures["net"]["value"][1])
    assert Fraction(line.figures["waste"]["value"][1]) == net / Fraction(7, 10)
    assert Fraction(line.figures["adding"]["value"][1]) == net * Fraction(13, 10)
    words = page.content.decode()
    assert "“30 % waste”" in words and "“Add 30 %”" in words
    refused = owner_client.get(reverse("jobs:buying"), {"waste": "95"})
    assert refused.status_code == 422 and "The most is 80 %" in refused.content.decode()


def test_two_jobs_share_the_rack_and_what_one_took_is_not_there_for_the_other(owner, owner_client):
    a_rack(owner, each=1, length=mm(700))
    first = a_job(owner)
    second = a_job(owner, label="Flag again", plan=first.plan)
    alone = listed(owner_client, asked="1", **{"for": [f"job.{first.pk}"]})
    assert alone.context["found"].lines == []
    both = listed(owner_client)
    assert [line.wood.wood for line in both.context["found"].lines] == ["sycamore"]
    # With its cut plan kept the first has all its wood, and the second what that leaves.
    keep(owner, cutting_of(first))
    page = listed(owner_client)
    assert [one.label for one in page.context["found"].provided] == [first.label]
    assert [one.label for one in page.context["found"].counted] == [second.label]
    assert {line.wood.wood for line in page.context["found"].lines} == set(WOODS)


def test_wood_reserved_or_taken_by_hand_for_a_job_counts_for_it_and_for_no_other(owner, owner_client):
    a_rack(owner, each=1)
    job = a_job(owner)
    other = a_job(owner, label="Other", plan=job.plan)
    work.give(owner, job, "reserve", *StockPiece.objects.filter(wood="padauk"))
    work.give(owner, job, "take", *StockPiece.objects.filter(wood="birch-yellow"))
    mine = listed(owner_client, asked="1", **{"for": [f"job.{job.pk}"]}).context["found"]
    assert mine.lines == []
    others = listed(owner_client, asked="1", **{"for": [f"job.{other.pk}"]}).context["found"]
    assert {line.wood.wood for line in others.lines} == {"padauk", "birch-yellow"}


def test_a_kept_plan_without_a_job_is_listed_and_counts_when_it_is_ticked(owner, owner_client):
    a_rack(owner, woods=WOODS[:3])
    plan = work.kept(owner)
    page = listed(owner_client)
    assert [one.tick for one in page.context["choices"]] == [f"plan.{plan.pk}"] and not page.context["ticked"]
    page = listed(owner_client, asked="1", **{"for": [f"plan.{plan.pk}", "plan.999", "x", "job.\x00"]})
    (line,) = page.context["found"].lines
    # Padauk was never bought here: its size is assumed and nothing is said of its price.
    assert line.wood.wood == "padauk" and line.buy.cost is None
    assert "never bought in this thickness" in page.content.decode()


def test_what_no_purchase_mends_is_told_with_its_mend(owner, owner_client):
    shop = the_workshop()
    a_rack(owner)
    a_job(owner)
    shop.crosscut_kerf = mm(0)
    shop.save()
    words = listed(owner_client).content.decode()
    assert "Buying does not mend this." in words and "every blade takes something" in words


def test_the_maker_s_own_yield_is_taken_from_finished_jobs(owner, owner_client):
    """What stayed in the boards by the reckoning, over what was taken less what came back by the rack's entries."""
    a_rack(owner)
    done = a_job(owner)
    sheet = keep(owner, cutting_of(done))
    given = {"who": owner, "cutting": cutting_of(done), "sheet": sheet}
    actions.start(**given)
    for one in laid_out(sheet.form).boards:
        actions.report(**given, board=one.mark, rough=None)
    walnut = next(one for one in laid_out(sheet.form).boards if one.wood == "walnut-black")
    piece = StockPiece.objects.get(mark=walnut.mark)
    from shopapp.lumber.stock.actions import Size

    backs = [
        Back(one, Size(one.milled or piece.thickness, one.width, one.length))
        for one in waiting_of(walnut, standing_of(sheet))
    ]
    actions.bring_back(**given, board=walnut.mark, back=backs, seen_version=piece.edit_version)
    work.move(owner, done, "under way", "finished")
    scrapped(owner, "walnut-black")
    a_job(owner, label="Next", plan=done.plan)
    (line,) = (one for one in listed(owner_client).context["found"].lines if one.wood.wood == "walnut-black")
    cubic = sum(
        (Fraction(move.after["thickness"] * move.after["width"] * move.after["length"], 10**18))
        for entry in StockEntry.objects.filter(kind="returned")
        for move in entry.moves.filter(piece__parent=piece)
    )
    taken = (Fraction(32 * 150 * 1200) - cubic) / (144 * Fraction("25.4") ** 3)
    (wood,) = (one for one in done.plan.record["woods"] if one["wood"] == "walnut-black")
    net = Fraction(wood["net"]["value"][1])
    assert Fraction(line.figures["assumed"]["value"][1]) == net / taken
    assert line.buy.why == "Your own yield of this wood, from 1 finished job."


def test_what_the_planned_offcuts_become_is_ranked_by_price_over_hours(owner, owner_client):
    a_rack(owner)
    job = a_job(owner)
    dear = keep_plan(who=owner, version=job.plan.version, board=board(margin=Fraction(3, 5)), workshop=the_workshop())
    page = listed(owner_client)
    assert page.context["offcuts"] == 0 and "What the offcuts become" not in page.content.decode()
    sheet = keep(owner, cutting_of(job))
    page = listed(owner_client)
    planned = sum(len(one.offcuts) for one in laid_out(sheet.form).boards)
    assert page.context["offcuts"] == planned > 0
    (design,) = page.context["designs"]
    assert design.plan == dear
    figures = dear.record["figures"]
    asked = Fraction(figures["price"]["value"][1]) / Fraction(figures.get("hours_each", figures["hours"])["value"][1])
    assert abs(Fraction(design.an_hour["value"][1]) - asked) <= Fraction(1, 200)


def test_an_offcut_that_came_back_is_no_planned_one_any_more(owner, owner_client):
    a_rack(owner)
    job = a_job(owner)
    sheet = keep(owner, cutting_of(job))
    before = listed(owner_client).context["offcuts"]
    given = {"who": owner, "cutting": cutting_of(job), "sheet": sheet}
    actions.start(**given)
    first = laid_out(sheet.form).boards[0]
    actions.report(**given, board=first.mark, rough=None)
    waiting = waiting_of(first, standing_of(sheet))
    version = StockPiece.objects.get(mark=first.mark).edit_version
    actions.bring_back(**given, board=first.mark, back=[Back(one, None) for one in waiting], seen_version=version)
    assert listed(owner_client).context["offcuts"] == before - len(waiting)


def test_a_helper_sees_no_buying_list(owner, client):
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    assert client.get(reverse("jobs:buying")).status_code == 403


@pytest.mark.parametrize("many", [1, 6])
def test_the_boards_asked_for_are_enough(owner, owner_client, many):
    """Bought as the list says and put on the rack, nothing lacks any more."""
    a_rack(owner, woods=("sycamore",), each=1, length=mm(500))
    plan = work.kept(owner, quantity=many)
    a_job(owner, plan=plan)
    for line in listed(owner_client).context["found"].lines:
        one = line.buy.likely[0]
        boards(owner, one.count, wood=line.wood.wood, thickness=max(one.nominal, mm(32)), width=one.width,
               length=one.length)  # fmt: skip
    assert listed(owner_client).context["found"].lines == []
