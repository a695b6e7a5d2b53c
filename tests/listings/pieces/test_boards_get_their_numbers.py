"""Boards of a finished job are numbered, with what the job says of them that day; where each is is written down."""

from __future__ import annotations

import secrets
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.jobs.actions import accept_quote, move_job
from shopapp.jobs.making import making_of_job
from shopapp.listings.models import Channel, Fair, Piece, PieceCost
from shopapp.listings.parcels.actions import make_again
from shopapp.listings.pieces.actions import number_pieces
from shopapp.listings.pieces.facts import facts
from shopapp.listings.pieces.moving import Going, bring
from shopapp.listings.pieces.waiting import what_waits
from shopapp.listings.selling.actions import hold
from shopapp.listings.selling.ending import let_stand, offer_again, take_back
from shopapp.listings.wording import draft_title, draft_words
from shopapp.people.models import Member
from shopapp.workshop.models import Adhesive, Finish, Workshop
from tests.support import pieces, work
from tests.support.evenings import kept as keep_evenings
from tests.support.week import a_week


@pytest.fixture
def plan(owner):
    return work.kept(owner)


def key() -> dict[str, str]:
    return {"form_key": secrets.token_urlsafe(24)}


def do(client, piece, act: str, **typed):
    piece.refresh_from_db()
    today = timezone.localdate().isoformat()
    sent = {**key(), "edit_version": piece.edit_version, "on": today, **typed}
    return client.post(reverse("listings:piece_act", args=[piece.pk, act]), sent)


# --- numbers ----------------------------------------------------------------------------------------------------


def test_every_board_a_job_made_gets_the_next_number_in_one_press(owner, owner_client):
    plan = work.kept(owner, quantity=3)
    done = work.move(owner, work.job(owner, plan), "under way", "finished")
    pieces.piece(owner, label="Otter")
    typed = {
        **key(),
        "title": "Flag",
        "count": "3",
        "made_on": timezone.localdate().isoformat(),
        "spares": "4 of sapele",
    }
    for _ in range(2):
        assert owner_client.post(reverse("listings:number", args=[done.pk]), typed).status_code == 302
    assert [(one.number, one.spares) for one in done.pieces.order_by("number")] == [
        (n, "4 of sapele") for n in (2, 3, 4)
    ]
    with pytest.raises(PlannerError, match="has its number"):
        number_pieces(who=owner, job=done)
    assert pieces.told_wrongly() == []


def test_what_is_not_finished_gets_no_number(owner, plan):
    with pytest.raises(PlannerError, match="Say that it is finished first"):
        number_pieces(who=owner, job=work.job(owner, plan))
    assert not Piece.objects.exists()


def test_what_its_job_cost_is_written_with_the_number(owner, plan):
    one = pieces.piece(owner, plan)
    assert PieceCost.objects.filter(piece=one).exists()


# --- what is told of it -----------------------------------------------------------------------------------------


def test_a_piece_says_its_size_mass_and_woods_as_its_plan_has_them(owner, plan):
    """The record's own sizes; shares of the face by the net wood of each, which all together are the whole of it."""
    one, record = pieces.piece(owner, plan), plan.record
    told = facts(one)
    assert [Length.from_nm(side) for side in told.size] == [Length.of_mm(text) for text in record["finished"]]
    assert told.grams == round(Fraction(record["mass"]["mass"]["value"][1]) * 1000)
    nets = {wood["wood"]: Fraction(wood["net"]["value"][1]) for wood in record["woods"]}
    assert {wood.key: wood.share for wood in told.woods} == {
        wood: net / sum(nets.values()) for wood, net in nets.items()
    }
    assert sum(wood.share for wood in told.woods) == 1
    assert ("black walnut", "Juglans nigra") in {(wood.name, wood.scientific) for wood in told.woods}
    assert told.use == "wall" and "dry cloth" in told.care[0]


def test_woods_that_are_asked_about_abroad_and_nuts_are_named_neutrally(owner, plan):
    told = {wood.key: wood for wood in facts(pieces.piece(owner, plan)).woods}
    assert "CITES" in told["padauk"].listed and not told["walnut-black"].listed
    assert "named among tree nuts" in told["walnut-black"].allergen and not told["sycamore"].allergen


def test_glue_and_finish_are_told_where_the_maker_has_a_record_of_them_and_never_as_an_assumption(owner, plan):
    a_week(owner)
    job = work.job(owner, plan)
    keep_evenings(owner, making_of_job(job.pk))
    unnamed = number_pieces(who=owner, job=work.move(owner, job, "under way", "finished"))[0]
    assert (facts(unnamed).adhesive, facts(unnamed).finish) == ("", "")
    Adhesive.objects.create(name="Creek glue")
    Finish.objects.create(name="Marsh oil", source="Marsh oil data sheet, 2025")
    other = work.job(owner, plan, label="Second")
    keep_evenings(owner, making_of_job(other.pk))
    told = facts(number_pieces(who=owner, job=work.move(owner, other, "under way", "finished"))[0])
    assert (told.adhesive, told.finish, told.finish_sheet) == ("Creek glue", "Marsh oil", "Marsh oil data sheet, 2025")


def test_facts_stay_as_they_were_whatever_is_changed_since(owner, plan):
    one = pieces.piece(owner, plan)
    before = one.facts
    one.job.plan = None
    one.job.save()
    one.refresh_from_db()
    assert one.facts == before and facts(one).woods


def test_of_a_job_without_a_plan_nothing_is_made_up(owner):
    told = facts(pieces.piece(owner))
    assert (told.size, told.grams, told.woods, told.care) == (None, None, (), ())


# --- title and text ---------------------------------------------------------------------------------------------


def test_title_and_text_are_drafted_in_plain_words_from_what_is_known_and_no_more(owner, plan):
    one = pieces.piece(owner, plan, label="Flag")
    words = draft_words(one, "mm")
    assert draft_title(one).startswith("Flag, a picture board")
    assert "black walnut (Juglans nigra)" in words and "dry cloth" in words and "mm" in words
    assert "check papers before sending abroad" in words and "nuts are an allergen" in words
    assert "Finished with" not in words, "no finish is known"
    bare = pieces.piece(owner, label="Otter")
    assert (draft_title(bare), draft_words(bare, "mm")) == ("Otter, a wooden board", "A wooden board.")


def test_a_listing_begins_with_the_draft_and_is_drafted_anew_only_when_asked(owner, owner_client, plan):
    one = pieces.piece(owner, plan, label="Flag")
    work.may(owner, plan, "list")
    form = owner_client.get(reverse("listings:new", args=[one.job_id])).context["form"]
    assert form.initial["title"] == draft_title(one) and form.initial["words"] == draft_words(one, "mm")
    listing = work.listing(owner, one.job, words="As I say it.")
    address = reverse("listings:change", args=[listing.pk])
    assert owner_client.get(address).context["form"].initial["words"] == "As I say it."
    assert owner_client.get(f"{address}?draft=anew").context["form"].initial["words"] == draft_words(one, "mm")
    listing.refresh_from_db()
    assert listing.words == "As I say it." and listing.piece == one


# --- where it is ------------------------------------------------------------------------------------------------


def test_a_piece_lies_with_a_shop_at_a_commission_until_a_day_and_is_overdue_after_it(owner, owner_client):
    one = pieces.piece(owner)
    shop, today = pieces.a_channel("Harbour Rooms", kind="shop", percent=Fraction(40, 100)), timezone.localdate()
    typed = {
        "where": "shop",
        "channel": shop.pk,
        "commission": "30",
        "back_by": (today + timedelta(days=5)).isoformat(),
    }
    assert do(owner_client, one, "moved", **typed).status_code == 302
    page = owner_client.get(one.get_absolute_url()).content.decode()
    assert "with Harbour Rooms, on sale or return" in page and "30" in page and "overdue" not in page
    past = Going("shop", today - timedelta(days=30), shop, back_by=today - timedelta(days=3))
    event = bring(who=owner, piece=one, going=past)
    assert event.commission == Fraction(40, 100), "what it usually keeps"
    assert "overdue by 3 days" in owner_client.get(one.get_absolute_url()).content.decode()
    found = owner_client.get(reverse("listings:pieces"), {"where": "overdue"}).content.decode()
    assert "Heron" in found and "overdue</strong>" in found and pieces.told_wrongly() == []


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"where": "shop"}, "not said which shop"),
        ({"where": "fair"}, "not said which fair"),
        ({"where": "sold"}, "not among what is offered"),
        ({"where": "here", "on": "2100-01-01"}, "still to come"),
        ({"where": "here", "back_by": "2000-01-01"}, "back before it went"),
    ],
)
def test_where_it_cannot_be_is_said_and_what_was_typed_stays(owner, owner_client, typed, said):
    one = pieces.piece(owner)
    answer = do(owner_client, one, "moved", words="As typed", **typed)
    assert answer.status_code == 422 and said in answer.content.decode() and "As typed" in answer.content.decode()
    assert one.events.count() == 1


def test_what_is_written_off_is_offered_no_more_and_may_come_back(owner, owner_client):
    one = pieces.piece(owner)
    listing = work.listing(owner, one.job)
    do(owner_client, one, "moved", where="gone", words="Fell off the wall")
    listing.refresh_from_db()
    assert listing.state == "withdrawn" and "Fell off the wall" in listing.events.first().words
    do(owner_client, one, "moved", where="here")
    one.refresh_from_db()
    assert one.where == "here" and pieces.told_wrongly() == []


def test_a_sold_piece_is_not_carried_about(owner):
    one = pieces.piece(owner)
    pieces.sold(owner, one)
    fair = Fair.objects.create(name="Saltmarsh fair", first=timezone.localdate(), last=timezone.localdate())
    with pytest.raises(PlannerError, match="Say first that it came back"):
        bring(who=owner, piece=one, going=Going("fair", timezone.localdate(), fair=fair))


# --- its page ---------------------------------------------------------------------------------------------------


def test_a_piece_is_sold_from_its_page_and_comes_back_there(owner, owner_client):
    one = pieces.piece(owner)
    assert do(owner_client, one, "sold", got="90", how="cash", to_whom="Robin").status_code == 302
    again = do(owner_client, one, "sold", got="95", how="cash", to_whom="Wren")
    assert again.status_code == 409 and "was sold on" in again.content.decode() and "95" in again.content.decode()
    back = do(owner_client, one, "back", kind="returned", back="90", where="here", words="Too large")
    assert back.status_code == 302
    one.refresh_from_db()
    assert (one.where, one.sale) == ("here", None) and pieces.told_wrongly() == []
    page = owner_client.get(one.get_absolute_url()).content.decode()
    assert "Sold once, and over" in page and "Too large" in page


def test_a_gift_shows_what_it_cost_and_no_price(owner, owner_client, plan):
    one = pieces.piece(owner, plan)
    do(owner_client, one, "given", to_whom="Aunt Sedge")
    page = owner_client.get(one.get_absolute_url()).content.decode()
    assert "What it cost to make" in page and "Aunt Sedge" in page
    assert "Price" not in page and "Paid" not in page and "Left of it" not in page


def test_of_two_sales_the_page_says_what_to_do_and_one_press_settles_it(owner, owner_client):
    one = pieces.piece(owner)
    pieces.sold(owner, one)
    late = pieces.sold(owner, one, "80.00", to_whom="Wren", late_ok=True)
    assert "It was sold twice" in owner_client.get(one.get_absolute_url()).content.decode()
    address = reverse("listings:stands", args=[one.pk])
    assert owner_client.post(address, {**key(), "sale": "x"}).status_code == 302
    one.refresh_from_db()
    assert one.sale != late
    owner_client.post(address, {**key(), "sale": late.pk})
    one.refresh_from_db()
    assert one.sale == late and "It was sold twice" not in owner_client.get(one.get_absolute_url()).content.decode()


def test_a_sale_of_what_was_given_gives_way_by_one_press(owner, owner_client):
    one = pieces.piece(owner)
    do(owner_client, one, "given")
    late = pieces.sold(owner, one, late_ok=True)
    assert "was gone already" in owner_client.get(one.get_absolute_url()).content.decode()
    owner_client.post(reverse("listings:gives_way", args=[one.pk]), {**key(), "sale": late.pk})
    one.refresh_from_db()
    assert late.changes.get().kind == "gave way" and one.where == "given" and pieces.told_wrongly() == []


def test_a_helper_sees_where_it_is_and_neither_money_nor_names(owner, owner_client, plan):
    one = pieces.piece(owner, plan)
    do(owner_client, one, "sold", got="90", how="cash", to_whom="Robin Attwater")
    client = Client()
    client.force_login(Member.objects.create_user("joss", password="x"))
    for address in (one.get_absolute_url(), reverse("listings:pieces")):
        page = client.get(address).content.decode()
        assert "Heron" in page and "sold" in page and "€" not in page and "Attwater" not in page
    assert do(client, one, "back", kind="mistake", where="here").status_code == 403


def test_pieces_are_found_by_number_name_and_place(owner, owner_client):
    first, second = pieces.piece(owner), pieces.piece(owner, label="Otter")
    pieces.sold(owner, second)

    def found(**asked) -> set[int]:
        page = owner_client.get(reverse("listings:pieces"), asked).context["page"]
        return {one.number for one in page.object_list}

    assert found() == {1, 2} and found(words="otter") == {second.number} and found(words="No. 1") == {first.number}
    assert found(where="sold") == {second.number} and found(where="here") == {first.number}
    assert found(where="nowhere") == {1, 2} and found(words="9" * 60) == set()


def test_its_name_and_spares_are_changed_with_the_version_that_was_seen(owner, owner_client):
    one = pieces.piece(owner)
    assert do(owner_client, one, "details", title_is="Heron in reeds", spares="2 of padauk").status_code == 302
    one.refresh_from_db()
    assert (one.title, one.spares) == ("Heron in reeds", "2 of padauk")
    late = do(owner_client, one, "details", title_is="Other", edit_version=1)
    assert late.status_code == 409 and "changed meanwhile" in late.content.decode()


# --- commissions and gifts handed over --------------------------------------------------------------------------


def test_a_commission_handed_over_is_sold_for_what_was_accepted_to_the_coin(owner):
    """Three boards at 80.05 each and 10 of carriage, tax held in both: by hand 250.15, a sixth of it 41.69."""
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Fraction(20, 100), "tax_included": True})
    plan = work.kept(owner, quantity=3)
    quote = work.quote(owner, plan, price=Decimal("80.05"), carriage=Decimal(10))
    job = accept_quote(who=owner, quote=quote, label="Three flags")
    boards = quote.options.get().boards
    work.move(owner, job, "under way", "finished", "handed over")
    sales = [one.sale for one in job.pieces.order_by("number")]
    assert len(sales) == boards and all(one.account_key == f"quote {quote.pk}" for one in sales)
    whole = Decimal("80.05") * boards + 10
    assert sum(one.gross for one in sales) == whole and sum(one.net + one.tax_sum for one in sales) == whole
    assert sum(one.tax_sum for one in sales) == round(whole / 6, 2)
    assert {one.where for one in job.pieces.all()} == {"sold"} and pieces.told_wrongly() == []
    work.move(owner, job, "finished")
    assert {one.where for one in job.pieces.all()} == {"here"} and not job.pieces.exclude(sale=None).exists()
    assert {change.kind for sale in sales for change in sale.changes.all()} == {"mistake"}
    work.move(owner, job, "handed over")
    assert job.pieces.count() == boards and not job.pieces.filter(sale=None).exists() and pieces.told_wrongly() == []


def test_a_gift_handed_over_is_given_and_has_its_number(owner):
    job = work.move(owner, work.job(owner), "under way", "finished", "handed over")
    assert (job.pieces.get().where, job.pieces.get().number) == ("given", 1) and pieces.told_wrongly() == []


def test_what_a_helper_says_was_not_handed_over_is_not_undone_where_it_counts_as_sold(owner):
    job = accept_quote(who=owner, quote=work.quote(owner, work.kept(owner)), label="Flag")
    work.move(owner, job, "under way", "finished", "handed over")
    job.refresh_from_db()
    joss = Member.objects.create_user("joss", password="x")
    with pytest.raises(PlannerError, match="counts as sold"):
        move_job(who=joss, job=job, state="finished", seen_version=job.edit_version)


def test_channels_are_not_mixed_up(owner, owner_client):
    """A piece lies with a shop; a site is no place to lie at."""
    one, site = pieces.piece(owner), pieces.a_channel()
    answer = do(owner_client, one, "moved", where="shop", channel=site.pk)
    assert answer.status_code == 422 and Channel.objects.count() == 1


# --- what waits -------------------------------------------------------------------------------------------------


def test_what_waits_for_a_word_stands_on_the_first_page_and_goes_once_it_is_said(owner, owner_client):
    today = timezone.localdate()
    twice, away, wrong = (pieces.piece(owner, label=label) for label in ("Heron", "Otter", "Teasel"))
    held = work.listing(owner, pieces.piece(owner, label="Lantern").job, title="Lantern")
    assert what_waits(today) == []
    first = pieces.sold(owner, twice)
    pieces.sold(owner, twice, late_ok=True)
    rooms = pieces.a_channel("Harbour Rooms", kind="shop")
    bring(who=owner, piece=away, going=Going("shop", today, rooms, back_by=today))
    hold(who=owner, listing=held, until=today, seen_version=None)
    sale = pieces.sold(owner, wrong)
    wrong.refresh_from_db()
    pieces.a_parcel(owner, wrong, "sent", "damaged")
    tomorrow = today + timedelta(days=1)
    told = [one.what for one in what_waits(tomorrow)]
    assert told == [str(twice), str(wrong), str(away), "Lantern"]
    assert [one.what for one in what_waits(today)] == told[:2], "not before the day is over"
    page = owner_client.get("/").content.decode()
    assert "Waiting for your word" in page and "say which sale stands" in page
    let_stand(who=owner, sale=first)
    # What is made again is said, until the remake is called off.
    remake = make_again(who=owner, parcel=wrong.parcels.get())
    assert str(wrong) not in [one.what for one in what_waits(tomorrow)]
    work.move(owner, remake, "called off")
    assert str(wrong) in [one.what for one in what_waits(tomorrow)]
    take_back(who=owner, sale=sale, kind="reduced", on=today, back=Decimal(5))
    bring(who=owner, piece=away, going=Going("here", today))
    offer_again(who=owner, listing=held, seen_version=None)
    assert what_waits(tomorrow) == []


def test_a_commission_that_was_handed_over_and_is_in_the_book_as_unsold_is_written_down_by_one_press(
    owner, owner_client
):
    """As those are that were handed over before that was written down by itself."""
    job = accept_quote(who=owner, quote=work.quote(owner, work.kept(owner)), label="Flag")
    work.move(owner, job, "under way", "finished", "handed over")
    take_back(who=owner, sale=job.pieces.get().sale, kind="mistake", on=timezone.localdate())
    page = owner_client.get(reverse("listings:number", args=[job.pk])).content.decode()
    assert "It was sold, as its quote was accepted" in page
    for _ in range(2):
        owner_client.post(reverse("listings:commission", args=[job.pk]), key())
    piece = job.pieces.get()
    assert piece.sale.price == work.PRICE and piece.sales.count() == 2 and pieces.told_wrongly() == []
    assert (
        "as its quote was accepted" not in owner_client.get(reverse("listings:number", args=[job.pk])).content.decode()
    )
