"""A fair is packed for, sold at and come home from; what it cost is shared over what sold, to the coin."""

from __future__ import annotations

import secrets
from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, transaction
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import EditConflict
from shopapp.listings.cards.actions import Asked, ask_for_paper
from shopapp.listings.fairs.actions import (
    FairFacts,
    NotThere,
    bring_home,
    change_fair,
    pack,
    plan_fair,
    write_expense,
    write_hours,
)
from shopapp.listings.fairs.checks import hours_that_do_not_add_up, papers_that_are_not_as_asked
from shopapp.listings.fairs.readers import clashes, fair_view, there, to_pack
from shopapp.listings.mending.actions import mend_expense
from shopapp.listings.models import Expense, Fair, FairHours, Piece, PieceCost, PiecePaper
from shopapp.people.models import Member
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.fairs import fair, listed, packed, tapped
from tests.support.pieces import piece, sold, told_wrongly


@pytest.fixture
def harbour(owner) -> Fair:
    return fair(owner)


def view(found: Fair):
    return fair_view(Fair.objects.get(pk=found.pk), the_workshop())


def wheres(*pieces: Piece) -> list[str]:
    return [Piece.objects.get(pk=one.pk).where for one in pieces]


# --- packed, sold, come home -------------------------------------------------------------------------------------


def test_what_does_not_sell_comes_home_in_one_press(owner, harbour):
    heron, otter, bell = packed(owner, harbour, "Heron", "Otter", "Tide bell")
    assert wheres(heron, otter, bell) == ["fair"] * 3 and not to_pack().exists()
    tapped(owner, harbour, otter)
    assert bring_home(who=owner, fair=harbour) == [heron, bell]
    assert wheres(heron, otter, bell) == ["here", "sold", "here"] and not there(harbour).exists()
    assert [one.words for one in heron.events.all()][:2] == [
        "No. 1, Heron came home from Harbour fair.",
        "No. 1, Heron was packed for Harbour fair.",
    ]
    with pytest.raises(NotThere):
        bring_home(who=owner, fair=harbour)
    assert told_wrongly() == []


def test_one_piece_stays_at_home_and_another_fair_s_are_left_where_they_are(owner, harbour):
    other = fair(owner, "Mill fair")
    heron, otter = packed(owner, harbour, "Heron", "Otter")
    (bell,) = packed(owner, other, "Tide bell")
    bring_home(who=owner, fair=harbour, piece=heron)
    assert (wheres(heron, otter, bell), list(there(other))) == (["here", "fair", "fair"], [bell])
    with pytest.raises(NotThere):
        bring_home(who=owner, fair=harbour, piece=bell)


def test_all_that_are_ticked_are_packed_or_none(owner, harbour):
    heron, otter = piece(owner, label="Heron"), piece(owner, label="Otter")
    sold(owner, otter)
    with pytest.raises(NotThere, match="Otter is sold"):
        pack(who=owner, fair=harbour, pieces=[heron, otter])
    assert wheres(heron, otter) == ["here", "sold"]
    with pytest.raises(PlannerError, match="No piece is ticked"):
        pack(who=owner, fair=harbour, pieces=[])


# --- what it paid ------------------------------------------------------------------------------------------------


def test_stall_and_hours_are_shared_over_what_sold_by_price_to_the_coin(owner, harbour):
    """By hand: 100.00 over 180, 90 and 30 is 60.00, 30.00, 10.00; 7 1/2 h at 20 are 150.00, shared 90, 45, 15. With
    100.01 the coin left over goes to the largest remainder: 60.006, 30.003 and 10.001 are 60.00, 30.00, 10.00 and one
    coin, to the first."""
    pieces = packed(owner, harbour, "Heron", "Otter", "Tide bell", "Teasel")
    write_expense(who=owner, fair=harbour, kind="stall", amount=Decimal("80.01"), on=harbour.first)
    write_expense(who=owner, fair=harbour, kind="travel", amount=Decimal(20), on=harbour.first)
    write_hours(who=owner, fair=harbour, on=harbour.first, minutes=450)
    for one, price in zip(pieces, ("180", "90", "30"), strict=False):
        tapped(owner, harbour, one, price)
    told = view(harbour)
    assert [str(one.of_costs) for one in told.sold] == ["60.01", "30.00", "10.00"]
    assert [str(one.of_hours) for one in told.sold] == ["90.00", "45.00", "15.00"]
    assert sum(one.of_costs for one in told.sold) == told.costs == Decimal("100.01")
    assert told.left == sum(one.left for one in told.sold) == told.kept - told.made - Decimal("250.01")
    # An hour there earned what is left before it is paid, by 7.5.
    assert told.an_hour == ((told.kept - told.made - Decimal("100.01")) / Decimal("7.5")).quantize(Decimal("0.01"))


def test_what_a_piece_cost_to_make_and_what_was_given_back_is_in_it(owner, harbour):
    heron, otter = packed(owner, harbour, "Heron", "Otter")
    for one, amount in ((heron, "70"), (otter, "40")):
        shop = {"currency_symbol": "€", "currency_exponent": 2}
        PieceCost.objects.create(
            piece=one, kind="wood", name="Wood", basis="written", amount=Decimal(amount), on=harbour.first, **shop
        )
    tapped(owner, harbour, heron, "200")
    tapped(owner, harbour, otter, "100", key="otter1")
    assert view(harbour).left == Decimal(200 + 100 - 70 - 40)
    tapped(owner, harbour, otter, kind="undo", key="otter1")
    told = view(harbour)
    assert (told.left, [one.piece for one in told.ended]) == (Decimal(130), [otter])


def test_where_nothing_sold_it_says_so_and_shares_nothing(owner, owner_client, harbour):
    packed(owner, harbour, "Heron")
    write_expense(who=owner, fair=harbour, kind="stall", amount=Decimal(80), on=harbour.first)
    told = view(harbour)
    assert told.sold == [] and told.left == Decimal(-80)
    page = owner_client.get(harbour.get_absolute_url()).content.decode()
    assert "Nothing sold there yet, so there is no piece that its costs could be shared over" in page


def test_a_cost_is_taken_back_by_another_and_once(owner, harbour):
    cost = write_expense(who=owner, fair=harbour, kind="stall", amount=Decimal(80), on=harbour.first)
    mended = {"who": owner, "why": "typed twice", "on": harbour.first}
    mend_expense(expense=cost, **mended)
    assert view(harbour).costs == 0 and Expense.objects.count() == 2
    for again, words in ((cost, "taken back already"), (Expense.objects.exclude(pk=cost.pk).get(), "takes another")):
        with pytest.raises(PlannerError, match=words):
            mend_expense(expense=again, **mended)
    assert told_wrongly() == []


def test_hours_of_a_day_written_anew_take_the_place_of_before(owner, harbour):
    write_hours(who=owner, fair=harbour, on=harbour.first, minutes=300)
    write_hours(who=owner, fair=harbour, on=harbour.last, minutes=240)
    write_hours(who=owner, fair=harbour, on=harbour.first, minutes=360)
    assert write_hours(who=owner, fair=harbour, on=harbour.first, minutes=360) is None
    harbour.refresh_from_db()
    assert (harbour.minutes, view(harbour).hours) == (600, Decimal(200))
    for on, minutes, words in (
        (harbour.first - timedelta(1), 60, "Choose a day of it"),
        (harbour.first, 1441, "24 hours"),
    ):
        with pytest.raises(PlannerError, match=words):
            write_hours(who=owner, fair=harbour, on=on, minutes=minutes)


@pytest.mark.storage
def test_hours_are_added_and_never_edited(owner, harbour):
    row = write_hours(who=owner, fair=harbour, on=harbour.first, minutes=300)
    with pytest.raises(DatabaseError), transaction.atomic():
        FairHours.objects.filter(pk=row.pk).update(minutes=1)
    with pytest.raises(DatabaseError), transaction.atomic():
        FairHours.objects.all().delete()


def test_verify_tells_of_hours_that_do_not_add_up_and_of_a_paper_that_was_changed(owner, harbour):
    write_hours(who=owner, fair=harbour, on=harbour.first, minutes=300)
    (heron,) = packed(owner, harbour, "Heron")
    ask_for_paper(who=owner, pieces=[heron], asked=Asked("tags", "a4-24-70", "https://shop.example"))
    assert hours_that_do_not_add_up() == papers_that_are_not_as_asked() == []
    Fair.objects.update(minutes=1)
    PiecePaper.objects.update(says="{}")
    assert len(hours_that_do_not_add_up()) == len(papers_that_are_not_as_asked()) == 1


def test_a_fair_is_changed_by_whoever_saw_it_as_it_is(owner, harbour):
    facts = FairFacts("Quay fair", "", harbour.first, harbour.last, Decimal(18))
    change_fair(who=owner, fair=harbour, facts=facts, seen_version=1)
    with pytest.raises(EditConflict):
        change_fair(who=owner, fair=harbour, facts=facts, seen_version=1)
    write_hours(who=owner, fair=harbour, on=harbour.last, minutes=60)
    short = FairFacts("Quay fair", "", harbour.first, harbour.first, Decimal(18))
    with pytest.raises(PlannerError, match="Hours of"):
        change_fair(who=owner, fair=harbour, facts=short, seen_version=Fair.objects.get().edit_version)


def test_a_fair_is_the_owner_s(harbour):
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    facts = FairFacts("Mill fair", "", harbour.first, harbour.last, Decimal(18))
    for act in (
        lambda: plan_fair(who=helper, facts=facts),
        lambda: pack(who=helper, fair=harbour, pieces=[]),
        lambda: bring_home(who=helper, fair=harbour),
        lambda: write_hours(who=helper, fair=harbour, on=harbour.first, minutes=1),
    ):
        with pytest.raises(PermissionDenied):
            act()


# --- on its pages -------------------------------------------------------------------------------------------------


def keyed(**typed) -> dict:
    return {"form_key": secrets.token_urlsafe(24), **typed}


def test_a_fair_is_written_down_packed_for_and_come_home_from_on_its_pages(owner, owner_client):
    today = timezone.localdate().isoformat()
    typed = keyed(name="Harbour fair", town="", first=today, last=today, hour="20")
    assert owner_client.post(reverse("listings:fair_new"), typed).status_code == 302
    assert owner_client.post(reverse("listings:fair_new"), typed).url == reverse("listings:fairs")
    found = Fair.objects.get()
    heron = piece(owner, label="Heron")
    page = reverse("listings:fair_pack", args=[found.pk])
    assert owner_client.post(page, keyed(tick=["x", "999"])).status_code == 422
    owner_client.post(page, keyed(tick=[heron.pk]))
    costs = reverse("listings:fair_costs", args=[found.pk])
    assert owner_client.post(costs, keyed(act="hours", day=today, hours="7 1/2")).status_code == 302
    assert owner_client.post(costs, keyed(act="hours", day="2020-01-01", hours="1")).status_code == 422
    assert (
        owner_client.post(costs, keyed(act="expense", kind="stall", amount="60", on=today, words="")).status_code == 302
    )
    assert owner_client.post(costs, keyed(act="expense", kind="stall", amount="0", on=today)).status_code == 422
    assert owner_client.post(costs, keyed(act="nonsense")).status_code == 404
    told = view(found)
    assert (told.costs, told.hours) == (Decimal(60), Decimal(150))
    back = told.expenses[0].to
    assert owner_client.post(back, keyed(on=today, why="")).status_code == 422
    assert owner_client.post(back, keyed(on=today, why="Another fair’s")).url == found.get_absolute_url()
    assert view(found).costs == 0
    page = owner_client.get(costs).content.decode()
    assert "<s>Stall, " in page and "Another fair’s" in page and "Back: " not in page
    owner_client.post(reverse("listings:fair_home", args=[found.pk]), keyed())
    assert wheres(heron) == ["here"]


def test_which_of_two_sales_stands_is_said_on_the_fair_s_page(owner, owner_client):
    plan, harbour = work.kept(owner), fair(owner)
    heron = listed(owner, plan, "Heron", "240")
    pack(who=owner, fair=harbour, pieces=[heron])
    at_home = sold(owner, heron, "240", to_whom="Robin")
    tapped(owner, harbour, heron, "200")
    (clash,) = clashes(harbour)
    assert (clash.stands, len(clash.sales)) == (at_home, 2)
    page = owner_client.get(harbour.get_absolute_url()).content.decode()
    assert "was sold twice, and there is one of it" in page and "to Robin" in page
    here = next(one for one in clash.sales if one.fair_id == harbour.pk)
    stands = reverse("listings:fair_stands", args=[harbour.pk])
    owner_client.post(stands, keyed(sale=here.pk))
    heron.refresh_from_db()
    assert heron.sale == here and clashes(harbour) == []
    owner_client.post(stands, keyed(sale=at_home.pk))
    heron.refresh_from_db()
    assert heron.sale == here and told_wrongly() == []
