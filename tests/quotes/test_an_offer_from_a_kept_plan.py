"""An offer says for whom, what, for how much and until when; what was written in it stays."""

from __future__ import annotations

import secrets
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.designs.models import Design, RightsAnswer
from shopapp.people.models import Member
from shopapp.quotes.actions import Offered, QuoteMoved, make_quote, tell_quote
from shopapp.quotes.checks import quotes_told_wrongly
from shopapp.quotes.models import Quote, QuoteEvent, QuoteOption, QuotePaper
from shopapp.quotes.readers import QuoteView, shown_to_customer
from shopapp.workshop.models import Workshop
from tests.support import work


@pytest.fixture
def plan(owner):
    return work.kept(owner)


def typed(**changes) -> dict[str, str]:
    today = timezone.localdate()
    return {
        "for_whom": "Wren Attwater",
        "title": "Flag for the boathouse",
        "price": "240",
        "carriage": "0",
        "dated": today.isoformat(),
        "valid_until": (today + timedelta(days=30)).isoformat(),
        "words": "",
        "care": "Dust it.",
        "left_out": "",
        "terms": "",
        "form_key": secrets.token_urlsafe(24),
        **changes,
    }


def write(client, plan, **changes):
    return client.post(reverse("quotes:new", args=[plan.pk]), typed(**changes))


# --- whose the picture is ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("rights", ["unknown", "gift"])
def test_whose_the_picture_is_is_asked_before_the_first_word_and_the_answer_kept(owner_client, plan, rights):
    Design.objects.update(rights=rights)
    address = reverse("quotes:new", args=[plan.pk])
    page = owner_client.get(address).content.decode()
    assert "First: whose picture is it?" in page and "May a board of it be quoted?" in page
    assert write(owner_client, plan).status_code == 200 and not Quote.objects.exists()

    key = {"form_key": secrets.token_urlsafe(24), "purpose": "quote", "edit_version": Design.objects.get().edit_version}
    refused = owner_client.post(address, {**key, "rights": "gift"})
    assert refused.status_code == 422 and "Write why it may be all the same" in refused.content.decode()
    answered = owner_client.post(address, {**key, "rights": "gift", "reason": "It was drawn for them."})
    assert answered.status_code == 302 and answered.url == address
    kept = RightsAnswer.objects.get()
    assert (kept.purpose, kept.rights) == ("quote", "gift") and "drawn for them" in kept.answer
    assert "A quote to write" in owner_client.get(address).content.decode()
    # The button pressed twice keeps one answer and goes on.
    assert owner_client.post(address, {**key, "rights": "gift", "reason": "Again."}).status_code == 302
    assert RightsAnswer.objects.count() == 1


def test_no_quote_is_made_past_the_question_whoever_asks(owner, plan):
    with pytest.raises(PlannerError, match="Nobody has said yet whose the picture is"):
        make_quote(who=owner, offer=work.offer(), options=[Offered(plan, work.PRICE)])


def test_a_picture_of_ones_own_is_not_asked_about(owner, owner_client, plan):
    Design.objects.update(rights="own")
    assert "A quote to write" in owner_client.get(reverse("quotes:new", args=[plan.pk])).content.decode()


# --- what is written --------------------------------------------------------------------------------------------


def test_it_begins_with_the_price_of_the_plan_in_the_currency_of_the_plan(owner, owner_client, plan):
    work.may(owner, plan, "quote")
    Workshop.objects.update_or_create(pk=1, defaults={"currency_symbol": "$", "carriage_charged": Decimal("6.50")})
    form = owner_client.get(reverse("quotes:new", args=[plan.pk])).context["form"]
    assert form.initial["price"] == plan.price and form.fields["price"].suffix == "€"
    assert form.initial["carriage"] == Decimal("6.50")
    write(owner_client, plan)
    quote = Quote.objects.get()
    assert (quote.currency_symbol, quote.currency_exponent) == ("€", 2)
    assert quote.events.get().words.endswith("Flag for the boathouse, €\u00a0240.00.")


def test_the_owner_s_own_price_is_what_is_quoted(owner, owner_client, plan):
    work.may(owner, plan, "quote")
    write(owner_client, plan, price="199.50")
    assert Quote.objects.get().options.get().price == Decimal("199.50") != plan.price


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


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("price", "0", "A quote of nothing is a gift"),
        ("price", "a lot", "a lot"),
        ("valid_until", "2001-01-01", "would have lapsed before it is written"),
        ("dated", "2001-01-01", "more than a year from today"),
        ("dated", "3 May", "cannot be read"),
        ("for_whom", "", "Nothing is written here yet"),
        ("words", "x" * 601, "too long"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_stays(owner, owner_client, plan, field, text, said):
    work.may(owner, plan, "quote")
    answer = write(owner_client, plan, title="As typed", **{field: text})
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page and "As typed" in page
    assert not Quote.objects.exists()


def test_a_second_press_makes_no_second_quote(owner, owner_client, plan):
    work.may(owner, plan, "quote")
    form_key = secrets.token_urlsafe(24)
    first = write(owner_client, plan, form_key=form_key)
    again = write(owner_client, plan, form_key=form_key)
    assert (first.status_code, again.status_code, Quote.objects.count()) == (302, 302, 1)
    assert QuotePaper.objects.count() == 1


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


def test_a_changed_quote_is_another_that_names_the_one_it_replaces(owner, owner_client, plan):
    old = work.quote(owner, plan)
    address = f"{reverse('quotes:new', args=[plan.pk])}?replaces={old.pk}"
    form = owner_client.get(address).context["form"]
    assert form.initial["for_whom"] == old.for_whom and form.initial["price"] == old.options.get().price
    answer = owner_client.post(address, typed(price="220"))
    new = Quote.objects.get(replaces=old)
    assert answer.url == new.get_absolute_url() and new.options.get().price == Decimal("220")
    assert old.events.first().words == f"{old} was replaced by {new.reference}."
    page = owner_client.get(old.get_absolute_url()).content.decode()
    assert new.reference in page and "It is accepted" not in page
    again = owner_client.post(address, typed())
    assert again.status_code == 422 and "was replaced already" in again.content.decode()


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
