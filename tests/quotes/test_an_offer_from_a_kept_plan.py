"""An offer says for whom, what, for how much and until when; what was written in it stays."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.designs.models import Design, RightsAnswer
from shopapp.designs.pictures.rights import answer_rights
from shopapp.people.models import Member
from shopapp.quotes.actions import Offered, QuoteMoved, make_quote, tell_quote
from shopapp.quotes.checks import quotes_told_wrongly
from shopapp.quotes.drafts.actions import begin_draft, first_facts
from shopapp.quotes.models import Quote, QuoteDraft, QuoteEvent, QuoteOption, QuotePaper
from shopapp.quotes.readers import QuoteView, shown_to_customer
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


def begun(owner, *plans, **changes) -> QuoteDraft:
    """A draft of these plans, for Wren Attwater."""
    shop = the_workshop()
    facts = replace(first_facts(shop, plans, "Flag for the boathouse"), person="Wren Attwater", **changes)
    return begin_draft(who=owner, facts=facts, plans=plans)


def make(client, draft: QuoteDraft, form_key: str = ""):
    """The button of the page that looks a draft over."""
    draft.refresh_from_db()
    data = {"form_key": form_key or secrets.token_urlsafe(24), "edit_version": draft.edit_version}
    return client.post(reverse("quotes:look", args=[draft.pk]), data)


# --- whose the picture is ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("rights", ["unknown", "gift"])
def test_whose_the_picture_is_is_asked_before_the_first_word_and_the_answer_kept(owner_client, plan, rights):
    Design.objects.update(rights=rights)
    address = reverse("quotes:new", args=[plan.pk])
    page = owner_client.get(address).content.decode()
    assert "First: whose picture is it?" in page and "May a board of it be quoted?" in page
    assert owner_client.post(address, {"title": "Flag", "form_key": secrets.token_urlsafe(24)}).status_code == 200
    assert not QuoteDraft.objects.exists()

    key = {"form_key": secrets.token_urlsafe(24), "purpose": "quote", "edit_version": Design.objects.get().edit_version}
    refused = owner_client.post(address, {**key, "rights": "gift"})
    assert refused.status_code == 422 and "Write why it may be all the same" in refused.content.decode()
    answered = owner_client.post(address, {**key, "rights": "gift", "reason": "It was drawn for them."})
    assert answered.status_code == 302 and answered.url == address
    kept = RightsAnswer.objects.get()
    assert (kept.purpose, kept.rights) == ("quote", "gift") and "drawn for them" in kept.answer
    assert "A quote for Flag" in owner_client.get(address).content.decode()
    # The button pressed twice keeps one answer and goes on.
    assert owner_client.post(address, {**key, "rights": "gift", "reason": "Again."}).status_code == 302
    assert RightsAnswer.objects.count() == 1


def test_no_quote_is_made_past_the_question_whoever_asks(owner, plan):
    with pytest.raises(PlannerError, match="Nobody has said yet whose the picture is"):
        make_quote(who=owner, offer=work.offer(), options=[Offered(plan, work.PRICE)])


def test_it_is_asked_again_before_a_quote_is_made_and_each_picture_by_itself(owner, owner_client, plan):
    draft = begun(owner, plan, work.another(owner))
    address = reverse("quotes:look", args=[draft.pk])
    for name in ("Flag", "Pennant"):
        asked = owner_client.get(address)
        assert asked.context["design"].name == name
        design = asked.context["design"]
        answer = {"form_key": secrets.token_urlsafe(24), "purpose": "quote", "edit_version": design.edit_version}
        assert owner_client.post(address, {**answer, "rights": "own"}).status_code == 302
        # The button pressed twice answers nothing of the other picture.
        assert owner_client.post(address, {**answer, "rights": "own"}).status_code in (302, 200)
    assert "Make this quote" in owner_client.get(address).content.decode()
    assert sorted(RightsAnswer.objects.values_list("design__name", flat=True)) == ["Flag", "Pennant"]


def test_whose_the_picture_is_stands_on_the_quote_in_a_sentence(owner, plan):
    assert work.quote(owner, plan).whose_picture == "The picture of Flag is our own."
    design = plan.design
    for rights, note, said in (
        ("permission", "Ada Fen, 3 May", "is the customer’s, used with their permission."),
        ("open", "CC BY 4.0, R. Sedge", "is under an open licence: CC BY 4.0, R. Sedge."),
        ("gift", "", "is used for this private piece only."),
    ):
        answer_rights(who=owner, design=design, purpose="quote", rights=rights, note=note)
        made = make_quote(who=owner, offer=work.offer(), options=[Offered(plan, work.PRICE)])
        assert made.whose_picture == f"The picture of Flag {said}"


def test_a_picture_of_ones_own_is_not_asked_about(owner, owner_client, plan):
    Design.objects.update(rights="own")
    assert "A quote for Flag" in owner_client.get(reverse("quotes:new", args=[plan.pk])).content.decode()


# --- what is written --------------------------------------------------------------------------------------------


def test_it_begins_with_the_price_of_the_plan_in_the_currency_of_the_plan(owner, owner_client, plan):
    work.may(owner, plan, "quote")
    Workshop.objects.update_or_create(pk=1, defaults={"currency_symbol": "$", "carriage_charged": Decimal("6.50")})
    draft = begun(owner, plan)
    assert draft.options.get().price == plan.price and draft.carriage == Decimal("6.50")
    make(owner_client, draft)
    quote = Quote.objects.get()
    assert (quote.currency_symbol, quote.currency_exponent) == ("€", 2)
    # The deposit is the settings': half.
    whole = plan.price + Decimal("6.50")
    assert quote.events.get().words.endswith(f"Flag for the boathouse, €\u00a0{whole:.2f}.")


def test_boards_reckoned_in_two_currencies_are_not_in_one_quote(owner, plan):
    Workshop.objects.update_or_create(pk=1, defaults={"currency_symbol": "$"})
    other = work.another(owner)
    with pytest.raises(PlannerError, match="two currencies"):
        work.quote(owner, plan, other)


@pytest.mark.parametrize(
    ("tax", "included", "before", "of_it", "pays"),
    [
        # By hand: two boards of 120.00 and carriage of 12.00 are 252.00.
        ("0", True, "252.00", "0.00", "252.00"),
        ("0.2", True, "210.00", "42.00", "252.00"),
        ("0.2", False, "252.00", "50.40", "302.40"),
        # 252 ÷ 1.19 = 211.7647; its 19 % are 40.2353.
        ("0.19", True, "211.76", "40.24", "252.00"),
    ],
)
def test_tax_is_held_in_the_price_or_comes_on_top_as_the_shop_has_it(owner, tax, included, before, of_it, pays):
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Decimal(tax), "tax_included": included})
    plan = work.kept(owner, quantity=2)
    quote = work.quote(owner, plan, price=Decimal("120.00"), carriage=Decimal("12.00"))
    option = QuoteView(quote, Workshop()).options[0]
    assert option.boards == 2 and option.sums["boards_come_to"] == Decimal("240.00")
    sums = [option.sums[name] for name in ("net", "tax", "gross")]
    assert sums == [Decimal(before), Decimal(of_it), Decimal(pays)]
    # What the shop does with tax later changes nothing of it.
    Workshop.objects.update(tax=Decimal("0.5"))
    assert shown_to_customer(Quote.objects.get())["options"][0]["gross"] == pays


def test_a_second_press_makes_no_second_quote(owner, owner_client, plan):
    work.may(owner, plan, "quote")
    draft, form_key = begun(owner, plan), secrets.token_urlsafe(24)
    first = make(owner_client, draft, form_key)
    again = make(owner_client, draft, form_key)
    assert (first.status_code, again.status_code, Quote.objects.count()) == (302, 302, 1)
    assert QuotePaper.objects.count() == 1
    # The draft has become the quote.
    assert owner_client.get(draft.get_absolute_url()).url == Quote.objects.get().get_absolute_url()


def test_numbers_begin_anew_with_the_year_of_the_quote(owner, plan):
    today = timezone.localdate()
    last_year = today - timedelta(days=today.timetuple().tm_yday)
    numbers = [work.quote(owner, plan).reference for _ in range(2)]
    numbers.append(work.quote(owner, plan, dated=last_year, valid_until=today).reference)
    assert numbers == [f"{today.year}-001", f"{today.year}-002", f"{last_year.year}-001"]


# --- what becomes of it -----------------------------------------------------------------------------------------


def test_a_quote_is_sent_and_declined_each_told_once(owner, plan):
    quote = work.quote(owner, plan)
    tell_quote(who=owner, quote=quote, kind="sent")
    with pytest.raises(QuoteMoved, match="is sent already"):
        tell_quote(who=owner, quote=quote, kind="sent")
    tell_quote(who=owner, quote=quote, kind="declined")
    for kind in ("lapsed", "sent"):
        with pytest.raises(QuoteMoved, match="is declined already"):
            tell_quote(who=owner, quote=quote, kind=kind)
    told = [event.words for event in quote.events.order_by("pk")]
    assert told[1:] == [f"{quote} was sent.", f"{quote} was declined."]
    assert quotes_told_wrongly() == []


def test_a_changed_quote_is_the_next_version_of_the_one_it_replaces(owner, owner_client, plan):
    old = work.quote(owner, plan)
    press = {"form_key": secrets.token_urlsafe(24)}
    answer = owner_client.post(reverse("quotes:anew", args=[old.pk]), press)
    draft = old.drafts.get()
    assert answer.url == draft.get_absolute_url() and draft.options.get().price == work.PRICE
    assert (draft.for_whom, draft.terms, draft.care) == (old.for_whom, old.terms, old.care)
    # Pressed again, it is gone on with.
    again = owner_client.post(reverse("quotes:anew", args=[old.pk]), {"form_key": secrets.token_urlsafe(24)})
    assert again.url == answer.url and old.drafts.count() == 1
    assert old.events.count() == 1, "a draft replaces nothing yet"

    make(owner_client, draft)
    new = Quote.objects.get(replaces=old)
    assert (new.year, new.number, new.version) == (old.year, old.number, 2)
    assert new.reference == f"{old.reference}-2"
    assert old.events.first().words == f"{old} was replaced by {new.reference}."
    page = owner_client.get(old.get_absolute_url()).content.decode()
    assert new.reference in page and "It is accepted" not in page and "Write it anew" not in page
    with pytest.raises(QuoteMoved, match="was replaced already"):
        work.quote(owner, plan, replaces=old)
    # The next quote has the next number, whatever versions there are.
    assert work.quote(owner, plan).number == old.number + 1


def test_an_accepted_quote_is_not_replaced(owner, plan):
    old = work.quote(owner, plan)
    QuoteEvent.objects.create(quote=old, kind="accepted", words="x")
    with pytest.raises(QuoteMoved, match="its job stands"):
        work.quote(owner, plan, replaces=old)


def test_a_quote_is_withdrawn_once_and_ends_with_it(owner, plan):
    quote = work.quote(owner, plan)
    tell_quote(who=owner, quote=quote, kind="sent")
    tell_quote(who=owner, quote=quote, kind="withdrawn")
    assert quote.events.first().words == f"{quote} was withdrawn."
    with pytest.raises(QuoteMoved, match="is withdrawn already"):
        tell_quote(who=owner, quote=quote, kind="declined")


def test_a_declined_quote_stays_declined_when_another_takes_its_place(owner, plan):
    old = work.quote(owner, plan)
    tell_quote(who=owner, quote=old, kind="declined")
    new = work.quote(owner, plan, replaces=old)
    assert new.replaces == old and old.events.first().kind == "declined"


def test_a_quote_past_its_day_is_seen_in_the_list_and_can_lapse(owner, owner_client, plan):
    day = timezone.localdate() - timedelta(days=9)
    quote = work.quote(owner, plan, dated=day, valid_until=day)
    assert "made, past its day" in owner_client.get(reverse("quotes:quotes")).content.decode()
    key = {"form_key": secrets.token_urlsafe(24), "kind": "lapsed"}
    owner_client.post(reverse("quotes:tell", args=[quote.pk]), key)
    owner_client.post(reverse("quotes:tell", args=[quote.pk]), key)
    page = owner_client.get(reverse("quotes:quotes")).content.decode()
    assert "past its day" not in page and "lapsed" in page
    assert quote.events.filter(kind="lapsed").count() == 1


def test_the_page_of_a_plan_says_what_was_made_of_it(owner, owner_client, plan):
    quote = work.quote(owner, plan)
    job = work.move(owner, work.job(owner, plan, label="Otter"), "under way", "finished")
    listing = work.listing(owner, job)
    page = owner_client.get(plan.get_absolute_url()).content.decode()
    for words in (f"{quote.reference} for Wren Attwater", "Otter, finished", "listed, for sale"):
        assert words in page
    assert all(row.get_absolute_url() in page for row in (quote, job, listing))


def test_a_helper_sees_no_quote(client, owner, plan):
    quote = work.quote(owner, plan)
    client.force_login(Member.objects.create_user("joss", password="x"))
    for name, args in (("quotes:quotes", []), ("quotes:quote", [quote.pk]), ("quotes:new", [plan.pk])):
        assert client.get(reverse(name, args=args)).status_code == 403


# --- what the database itself refuses ---------------------------------------------------------------------------


@pytest.mark.storage
def test_neither_a_quote_nor_what_became_of_it_is_changed_or_taken_away_by_plain_sql(owner, plan):
    work.quote(owner, plan)
    for statement in (
        "UPDATE quotes_quoteoption SET price = 1", "DELETE FROM quotes_quote",
        "UPDATE quotes_quoteevent SET kind = 'lapsed'", "DELETE FROM quotes_quoteevent",
    ):  # fmt: skip
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    assert QuoteOption.objects.get().price == Decimal("240.00")


@pytest.mark.storage
@pytest.mark.parametrize(
    "changes",
    [
        {"carriage": Decimal(-1)},
        {"number": 1},
        {"valid_until": "2001-01-01"},
    ],
)
def test_the_database_takes_no_quote_without_a_price_a_number_of_its_own_and_a_day_it_is_valid(owner, plan, changes):
    quote = work.quote(owner, plan)
    quote.pk, quote.number = None, 2
    for name, value in changes.items():
        setattr(quote, name, value)
    with pytest.raises(IntegrityError), transaction.atomic():
        quote.save(force_insert=True)


@pytest.mark.storage
def test_a_quote_has_one_end_whoever_writes_it(owner, plan):
    quote = work.quote(owner, plan)
    QuoteEvent.objects.create(quote=quote, kind="accepted", words="x")
    for kind in ("declined", "lapsed", "replaced", "accepted", "made"):
        with pytest.raises(IntegrityError), transaction.atomic():
            QuoteEvent.objects.create(quote=quote, kind=kind, words="x")
