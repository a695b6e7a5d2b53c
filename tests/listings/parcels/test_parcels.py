"""A piece in its box: what box it asks for, how far it came, and what follows where it came damaged."""

from __future__ import annotations

import secrets
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.jobs.models import Job
from shopapp.jobs.words import day
from shopapp.listings.models import Expense, Parcel
from shopapp.listings.parcels.actions import make_again, money_back, move_parcel
from shopapp.listings.parcels.readers import box_asked
from shopapp.listings.pieces.actions import change_piece, number_pieces
from shopapp.listings.pieces.facts import facts
from shopapp.listings.selling.actions import give
from shopapp.listings.telling import ListingMoved
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import pieces, work


@pytest.fixture
def heron(owner):
    one = pieces.piece(owner)
    pieces.sold(owner, one, carriage=Decimal(12))
    one.refresh_from_db()
    return one


def key() -> dict[str, str]:
    return {"form_key": secrets.token_urlsafe(24)}


def do(client, parcel, act: str, **typed):
    parcel.refresh_from_db()
    sent = {**key(), "edit_version": parcel.edit_version, "on": timezone.localdate().isoformat(), **typed}
    return client.post(reverse("listings:parcel_act", args=[parcel.pk, act]), sent)


def where(piece) -> str:
    piece.refresh_from_db()
    return piece.where


# --- the box ----------------------------------------------------------------------------------------------------


def test_a_box_is_the_board_with_its_packing_on_every_side(owner):
    """By hand: each side and twice what is packed around it, the longest first; the board's mass and the carton's."""
    Workshop.objects.update_or_create(pk=1, defaults={"packed_around": Length.of_mm(40), "packing_grams": 650})
    told = facts(one := pieces.piece(owner, work.kept(owner)))
    box = box_asked(one, the_workshop())
    wide, high, thick = (Length.from_nm(side) + Length.of_mm(80) for side in told.size)
    assert list(box.sizes) == sorted([wide, high, thick], reverse=True) and box.grams == told.grams + 650
    assert box.carriage is None and "tariff" in box.trouble


def test_the_carrier_s_tariff_says_what_the_box_costs_to_send(owner):
    tariff = {"carrier_tariff": [["2", "6.90"], ["5", "9.50"], ["30", "19.00"]], "carrier_divisor": 0}
    Workshop.objects.update_or_create(pk=1, defaults={**tariff, "carrier_step": Decimal(0), "packing_grams": 500})
    one = pieces.piece(owner, work.kept(owner))
    kilograms = Fraction(box_asked(one, the_workshop()).grams, 1000)
    asked = next(Decimal(price) for upto, price in tariff["carrier_tariff"] if kilograms <= Fraction(upto))
    assert Decimal(box_asked(one, the_workshop()).carriage["value"][1]) == asked


def test_of_a_piece_nobody_knows_the_size_of_a_box_is_measured(owner_client, heron):
    page = owner_client.get(reverse("listings:pack", args=[heron.pk])).content.decode()
    assert "measure the box and weigh it" in page
    typed = {"length": "500", "width": "450", "height": "120", "grams": "3200", "cover": "240", "carrier": "Tide Post"}
    typed |= {"on": timezone.localdate().isoformat(), **key()}
    for _ in range(2):
        assert owner_client.post(reverse("listings:pack", args=[heron.pk]), typed).status_code == 302
    parcel = Parcel.objects.get()
    assert (parcel.length, parcel.grams, parcel.sale, parcel.person.name) == (
        Length.of_mm(500), 3200, heron.sale, "Robin"
    )  # fmt: skip
    assert "500 × 450 × 120" in owner_client.get(parcel.get_absolute_url()).content.decode()


def test_what_is_nobody_s_yet_is_not_packed_and_nothing_is_packed_twice(owner, heron):
    with pytest.raises(PlannerError, match="nobody’s yet"):
        pieces.a_parcel(owner, pieces.piece(owner, label="Otter"))
    pieces.a_parcel(owner, heron)
    with pytest.raises(PlannerError, match="in a box already"):
        pieces.a_parcel(owner, heron)


# --- its way ----------------------------------------------------------------------------------------------------


def test_it_is_sent_and_arrives_and_what_the_carrier_was_paid_is_written_once(owner_client, owner, heron):
    parcel = pieces.a_parcel(owner, heron)
    assert do(owner_client, parcel, "moved", state="sent", carriage="9.50").status_code == 302
    assert where(heron) == "sent"
    told = heron.events.first()
    assert "with Tide Post, number TP-77" in told.words and "TP-77" not in told.plain_words
    paid = Expense.objects.get()
    assert (paid.kind, paid.amount, paid.sale) == ("carriage", Decimal("9.50"), heron.sale)
    assert do(owner_client, parcel, "moved", state="arrived").status_code == 302
    assert where(heron) == "sold" and [one.state for one in parcel.events.order_by("pk")] == [
        "packed",
        "sent",
        "arrived",
    ]
    page = owner_client.get(parcel.get_absolute_url()).content.decode()
    assert "9.50" in page and pieces.told_wrongly() == []


def test_a_gift_that_is_sent_is_theirs_again_when_it_arrives(owner):
    one = pieces.piece(owner)
    give(who=owner, piece=one, on=timezone.localdate(), to_whom="Aunt Sedge")
    one.refresh_from_db()
    parcel = pieces.a_parcel(owner, one, "sent")
    assert parcel.person.name == "Aunt Sedge" and where(one) == "sent"
    move_parcel(who=owner, parcel=parcel, state="arrived", on=timezone.localdate())
    assert where(one) == "given" and pieces.told_wrongly() == []


@pytest.mark.parametrize(
    ("way", "then"), [((), "arrived"), (("sent", "arrived"), "sent"), (("sent", "back"), "arrived")]
)
def test_a_parcel_goes_no_way_a_parcel_cannot_go(owner, owner_client, heron, way, then):
    parcel = pieces.a_parcel(owner, heron, *way)
    with pytest.raises(ListingMoved):
        move_parcel(who=owner, parcel=parcel, state=then, on=timezone.localdate())
    assert do(owner_client, parcel, "moved", state=then).status_code == 422


def test_what_was_seen_before_somebody_else_moved_it_is_refused(owner, owner_client, heron):
    parcel = pieces.a_parcel(owner, heron)
    late = do(owner_client, parcel, "moved", state="sent", edit_version="0")
    assert late.status_code == 409 and "changed meanwhile" in late.content.decode() and parcel.events.count() == 1


def test_its_number_is_written_down_later(owner, owner_client, heron):
    parcel = pieces.a_parcel(owner, heron, number="")
    typed = {**key(), "edit_version": parcel.edit_version, "carrier": "Tide Post", "number": "TP-99", "grams": "1900"}
    assert owner_client.post(reverse("listings:parcel_change", args=[parcel.pk]), typed).status_code == 302
    parcel.refresh_from_db()
    assert (parcel.number, parcel.grams) == ("TP-99", 1900)
    late = owner_client.post(reverse("listings:parcel_change", args=[parcel.pk]), {**typed, **key(), "number": "X"})
    assert late.status_code == 409


# --- gone wrong -------------------------------------------------------------------------------------------------


def test_returned_damaged_money_goes_back_and_the_piece_is_here_damaged(owner, owner_client, heron):
    listing = work.listing(owner, pieces.piece(owner, label="Otter").job)
    parcel = pieces.a_parcel(owner, heron, "sent", "damaged")
    assert "What is to be done" in owner_client.get(parcel.get_absolute_url()).content.decode()
    sale = heron.sale
    assert do(owner_client, parcel, "money-back", back="252").status_code == 302
    assert where(heron) == "damaged" and heron.sale is None
    change = sale.changes.get()
    assert (change.kind, change.back) == ("returned", Decimal(252))
    parcel.refresh_from_db()
    listing.refresh_from_db()
    assert parcel.state == "back" and listing.state == "for sale" and pieces.told_wrongly() == []


def test_they_may_keep_it_for_a_part_of_the_price(owner, owner_client, heron):
    parcel = pieces.a_parcel(owner, heron, "sent", "damaged")
    assert do(owner_client, parcel, "part-back", back="40").status_code == 302
    assert where(heron) == "sold" and heron.sale.changes.get().back == 40 and pieces.told_wrongly() == []


def test_what_was_lost_is_written_off_when_the_money_goes_back(owner, heron):
    parcel = pieces.a_parcel(owner, heron, "sent", "lost")
    sale = heron.sale
    money_back(who=owner, parcel=parcel, on=timezone.localdate(), back=None, keeps=False)
    assert where(heron) == "gone" and sale.changes.get().kind == "fell through" and pieces.told_wrongly() == []
    with pytest.raises(ListingMoved):
        money_back(who=owner, parcel=parcel, on=timezone.localdate(), back=None, keeps=False)


def test_it_is_made_again_in_one_press_and_once(owner, owner_client):
    plan = work.kept(owner)
    one = pieces.piece(owner, plan)
    pieces.sold(owner, one, to_whom="Robin")
    one.refresh_from_db()
    parcel = pieces.a_parcel(owner, one, "sent", "damaged")
    answer = do(owner_client, parcel, "again", settled="reserve")
    job = Job.objects.get(kind="remake")
    assert answer.url == job.get_absolute_url()
    assert (job.of, job.plan, job.person.name, job.settled) == (one.job, plan, "Robin", "reserve")
    with pytest.raises(ListingMoved, match="being made in its place"):
        make_again(who=owner, parcel=parcel)
    page = owner_client.get(parcel.get_absolute_url()).content.decode()
    assert "Heron, made again" in page and "Begin a remake" not in page
    assert "Remake since" in owner_client.get(one.get_absolute_url()).content.decode()


def test_what_was_made_again_stands_in_for_the_piece_that_was_damaged_on_both_their_pages(owner, owner_client):
    """And of two boards of one job the one in the parcel is meant, also where the other is being made again."""
    plan = work.kept(owner, quantity=2)
    done = work.move(owner, work.job(owner, plan, label="Heron", kind="sale"), "under way", "finished")
    nine, ten = number_pieces(who=owner, job=done)
    jobs = []
    for one in (ten, nine):
        pieces.sold(owner, one)
        one.refresh_from_db()
        parcel = pieces.a_parcel(owner, one, "sent", "damaged")
        assert do(owner_client, parcel, "again", settled="reserve").status_code == 302
        parcel.refresh_from_db()
        jobs.append(parcel.remake)
    work.move(owner, jobs[1], "under way", "finished")
    typed = {**key(), "title": "Heron anew", "count": "1", "made_on": timezone.localdate().isoformat()}
    page = owner_client.get(reverse("listings:number", args=[jobs[1].pk]))
    assert page.context["form"].initial["instead_of"] == nine
    wrong = {**typed, "instead_of": pieces.piece(owner, label="Otter").pk}
    assert owner_client.post(reverse("listings:number", args=[jobs[1].pk]), wrong).status_code == 422
    assert owner_client.post(
        reverse("listings:number", args=[jobs[1].pk]), {**typed, "instead_of": nine.pk}
    ).status_code == 302  # fmt: skip
    anew = jobs[1].pieces.get()
    told = owner_client.get(anew.get_absolute_url()).content.decode()
    assert f"No. {nine.number}, Heron</a>, sent {day(timezone.localdate())}, arrived damaged" in told
    old = owner_client.get(nine.get_absolute_url()).content.decode()
    assert "Made again as" in old and f"No. {anew.number}, Heron anew" in old
    with pytest.raises(PlannerError, match="was made again as"):
        number_pieces(who=owner, job=jobs[1], count=1, instead_of=lambda job: nine)
    # It goes to whoever waits, without a price, and is told so when it has arrived.
    sent = {**key(), "on": timezone.localdate().isoformat(), "edit_version": anew.edit_version}
    assert owner_client.post(reverse("listings:piece_act", args=[anew.pk, "instead"]), sent).status_code == 302
    anew.refresh_from_db()
    pieces.a_parcel(owner, anew, "sent", "arrived")
    event = anew.events.first()
    assert (anew.events.filter(where="given").last().person.name, event.instead_of) == ("Robin", nine)
    assert f"gone out in the place of No. {nine.number}" in owner_client.get(anew.get_absolute_url()).content.decode()
    old = owner_client.get(nine.get_absolute_url()).content.decode()
    assert f"Made again as No. {anew.number}" in old and "gone out in its place" in old
    anew.refresh_from_db()
    with pytest.raises(PlannerError, match="in the place of another already"):
        change_piece(who=owner, piece=anew, title="Heron", spares="", seen_version=anew.edit_version)
    assert pieces.told_wrongly() == []


def test_a_remake_at_the_shop_s_cost_goes_out_as_its_job_is_handed_over_and_is_back_when_it_was_not(owner):
    one = pieces.piece(owner, kind="sale")
    pieces.sold(owner, one)
    one.refresh_from_db()
    job = make_again(who=owner, parcel=pieces.a_parcel(owner, one, "sent", "lost"))
    job = work.move(owner, job, "under way", "finished", "handed over")
    assert (job.pieces.get().where, job.pieces.get().instead_of) == ("given", one)
    work.move(owner, job, "finished")
    assert job.pieces.get().where == "here" and pieces.told_wrongly() == []


def test_a_parcel_on_its_way_is_not_made_again(owner, heron):
    with pytest.raises(ListingMoved, match="Say first what became of it"):
        make_again(who=owner, parcel=pieces.a_parcel(owner, heron, "sent"))
