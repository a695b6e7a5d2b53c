"""A quote is written as a draft: from an enquiry, a design or a kept plan; several people change it, and none of them
loses a word; what is missing is said before it is made."""

from __future__ import annotations

import json
import re
import secrets
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.models import AuditLine
from shopapp.people.models import Member, Person
from shopapp.quotes import wording
from shopapp.quotes.drafts.actions import add_options, begin_draft, first_facts, make_from
from shopapp.quotes.drafts.ready import there_by
from shopapp.quotes.models import Quote, QuoteDraft
from shopapp.quotes.planning import leaves_the_maker
from shopapp.quotes.readers import shown_to_customer
from shopapp.schedule.actions import add_sessions, book_anew
from shopapp.schedule.models import Booking
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


def evenings(owner) -> None:
    add_sessions(who=owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60})


def as_shown(client, draft: QuoteDraft) -> dict[str, str]:
    """The form of a draft as a browser would send it back untouched."""
    page = client.get(draft.get_absolute_url()).content.decode()
    form = client.get(draft.get_absolute_url()).context["form"]
    typed = {"do": "keep", "form_key": secrets.token_urlsafe(24)}
    for bound in form:
        value = bound.value()
        if bound.name not in ("form_key", "shows_sums") or (bound.name == "shows_sums" and value):
            typed.setdefault(bound.name, "" if value is None else str(value))
    assert "Look it over" in page
    return typed


def keep(client, draft: QuoteDraft, typed: dict[str, str], **changes):
    return client.post(draft.get_absolute_url(), {**typed, "form_key": secrets.token_urlsafe(24), **changes})


# --- how it begins ----------------------------------------------------------------------------------------------


def test_an_enquiry_needs_a_title_alone_and_writes_whoever_is_new_into_the_book(owner_client):
    key = secrets.token_urlsafe(24)
    data = {"title": "Something for the hall", "person": "Wren Attwater", "wanted_by": "2027-03-01", "form_key": key}
    answer = owner_client.post(reverse("quotes:begin"), data)
    draft = QuoteDraft.objects.get()
    assert answer.url == draft.get_absolute_url()
    assert (draft.person, draft.for_whom, draft.wanted_by) == (Person.objects.get(), "Wren Attwater", date(2027, 3, 1))
    page = owner_client.get(answer.url).content.decode()
    assert "None yet. A board comes from a kept plan" in page
    # Sent twice it is begun once.
    assert owner_client.post(reverse("quotes:begin"), data).url == reverse("quotes:quotes")
    assert QuoteDraft.objects.count() == Person.objects.count() == 1


def test_what_can_be_known_beforehand_stands_there_already(owner, plan):
    """In five minutes: of what is asked only for whom it is was not filled in."""
    Workshop.objects.update_or_create(
        pk=1, defaults={"quote_days": 21, "deposit": Fraction(1, 3), "quote_terms": "Cash.", "carriage_charged": 9}
    )
    draft = work.draft(owner, plan, title="")
    assert draft.title == "Flag" and draft.valid_until == timezone.localdate() + timedelta(days=21)
    assert (draft.deposit, draft.carriage, draft.terms) == (Fraction("0.333333"), Decimal(9), "Cash.")
    assert draft.care == wording.CARE["wall"] and draft.called_off == wording.CALLED_OFF
    assert draft.options.get().price == plan.price


def test_a_design_is_quoted_with_its_kept_plans_side_by_side(owner, owner_client, plan):
    larger = work.beside(owner, plan, quantity=2)
    work.may(owner, plan, "quote")
    page = owner_client.get(reverse("quotes:from_design", args=[plan.design_id])).content.decode()
    assert "204 mm by 170 mm, 2 boards" in page and "American sycamore" in page
    data = {"title": "Flag", "plans": [plan.pk, larger.pk], "form_key": secrets.token_urlsafe(24)}
    owner_client.post(reverse("quotes:from_design", args=[plan.design_id]), data)
    draft = QuoteDraft.objects.get()
    assert {one.plan_id for one in draft.options.all()} == {plan.pk, larger.pk}
    page = owner_client.get(draft.get_absolute_url()).content.decode()
    assert "Option 1 of 2" in page and "Option 2 of 2" in page and "2 boards, plan" in page
    assert reverse("plans:preview_png", args=[larger.pk]) in page


def test_boards_of_another_design_are_offered_besides_each_once(owner, owner_client, plan):
    draft, other = work.draft(owner, plan), work.another(owner)
    address = f"{reverse('quotes:add', args=[draft.pk])}?design={other.design_id}"
    for _ in range(2):
        owner_client.post(address, {"plan": [other.pk], "form_key": secrets.token_urlsafe(24)})
    assert [one.plan_id for one in draft.options.all()] == [plan.pk, other.pk]
    assert "in it already" in owner_client.get(address).content.decode()


def test_a_board_put_into_an_enquiry_brings_the_words_of_its_use_once(owner, plan):
    draft = begin_draft(who=owner, facts=first_facts(the_workshop(), [], "Heron for the quay"))
    assert draft.care == draft.left_out == ""
    add_options(who=owner, draft=draft, plans=[plan])
    draft.refresh_from_db()
    use = plan.record["spec"]["use"]
    assert (draft.care, draft.left_out) == (wording.CARE[use], wording.LEFT_OUT[use])
    QuoteDraft.objects.filter(pk=draft.pk).update(care="Dust it.")
    add_options(who=owner, draft=draft, plans=[work.another(owner)])
    draft.refresh_from_db()
    assert draft.care == "Dust it.", "a second board of that use leaves what was written"


def test_a_quote_offers_six_boards_at_most(owner, plan):
    draft = work.draft(owner, plan)
    for n in range(2, 7):
        add_options(who=owner, draft=draft, plans=[work.beside(owner, plan, quantity=n)])
    with pytest.raises(PlannerError, match="6 boards at most"):
        add_options(who=owner, draft=draft, plans=[work.beside(owner, plan, quantity=7)])
    assert draft.options.count() == 6


# --- what is written --------------------------------------------------------------------------------------------


def test_what_is_typed_is_kept_and_the_boards_are_named_priced_and_ordered(owner, owner_client, plan):
    draft = work.draft(owner, plan, work.beside(owner, plan, quantity=2))
    one, two = draft.options.all()
    typed = as_shown(owner_client, draft)
    changes = {"words": "As we spoke.", "carriage": "12", f"label_{two.pk}": "A pair", f"price_{two.pk}": "199.50"}
    answer = keep(owner_client, draft, typed, **changes, do=f"up {two.pk}")
    assert answer.status_code == 302
    draft.refresh_from_db()
    assert (draft.words, draft.carriage) == ("As we spoke.", Decimal(12))
    assert [(row.place, row.label, row.price) for row in draft.options.all()] == [
        (1, "A pair", Decimal("199.50")),
        (2, one.label, plan.price),
    ]
    keep(owner_client, draft, as_shown(owner_client, draft), do=f"out {one.pk}")
    assert [row.pk for row in draft.options.all()] == [two.pk]
    assert AuditLine.objects.filter(kind="quotes.quotedraft", what__contains="carriage").count() == 1


@pytest.mark.parametrize("number", ["9" * 5000, "9" * 30, "²"])
def test_a_number_no_option_can_have_moves_nothing_and_keeps_what_was_typed(owner, owner_client, plan, number):
    draft = work.draft(owner, plan)
    answer = keep(owner_client, draft, as_shown(owner_client, draft), words="As we spoke.", do=f"up {number}")
    draft.refresh_from_db()
    assert (answer.status_code, draft.words, draft.options.count()) == (302, "As we spoke.", 1)


def test_beside_each_price_stands_what_it_leaves_the_maker(owner, owner_client, plan):
    """At the price reckoned for a fifth of the price to keep, a fifth is kept (to the coin), and the hour earns more
    than the 20.00 it is paid."""
    draft = work.draft(owner, plan, deposit=Fraction(0), carriage=Decimal(0))
    drafted = owner_client.get(draft.get_absolute_url()).context["drafted"][0][0]
    assert round(float(drafted.leaves.margin), 3) == 0.2
    assert drafted.leaves.profit == plan.record["figures"]["profit"]["value"][1] or drafted.leaves.profit == Decimal(
        plan.record["figures"]["profit"]["value"][1]
    )
    assert drafted.leaves.hour > 20
    # At what it costs, nothing is left and the hour earns what it is paid.
    option = draft.options.get()
    option.price = Decimal(plan.record["figures"]["break_even"]["value"][1])
    option.save()
    drafted = owner_client.get(draft.get_absolute_url()).context["drafted"][0][0]
    assert drafted.leaves.profit == 0 and drafted.leaves.hour == Decimal("20.00")


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("title", "", "Nothing is written here yet"),
        ("valid_until", "2001-01-01", "more than ten years from today"),
        ("valid_until", "yesterday", "cannot be read"),
        ("carriage", "a lot", "a lot"),
        ("deposit", "120", "120"),
        ("words", "x" * 601, "too long"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_stays(owner, owner_client, plan, field, text, said):
    draft = work.draft(owner, plan)
    answer = keep(owner_client, draft, as_shown(owner_client, draft), **{"left_out": "As typed", field: text})
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page and "As typed" in page
    draft.refresh_from_db()
    assert draft.left_out != "As typed"


def test_a_quote_is_made_only_with_somebody_a_board_and_its_price(owner, owner_client, plan):
    draft = work.draft(owner, person=None, title="Hall")
    page = owner_client.get(reverse("quotes:look", args=[draft.pk])).content.decode()
    assert "for whom it is" in page and "no board in it yet" in page and "Make this quote" not in page
    with pytest.raises(PlannerError, match="for whom"):
        make_from(who=owner, draft=draft, seen_version=draft.edit_version)
    draft = work.draft(owner, plan)
    draft.options.update(price=0)
    with pytest.raises(PlannerError, match="“Flag” has no price yet"):
        make_from(who=owner, draft=draft, seen_version=draft.edit_version)
    assert not Quote.objects.exists()


def test_a_draft_is_put_aside_and_taken_up_again(owner, owner_client, plan):
    draft = work.draft(owner, plan)
    address = reverse("quotes:aside", args=[draft.pk])
    owner_client.post(address, {"form_key": secrets.token_urlsafe(24), "aside": "yes"})
    listed = owner_client.get(reverse("quotes:quotes"))
    assert not listed.context["drafts"] and [line.draft for line in listed.context["aside"]] == [draft]
    owner_client.post(address, {"form_key": secrets.token_urlsafe(24), "aside": "no"})
    assert [line.draft for line in owner_client.get(reverse("quotes:quotes")).context["drafts"]] == [draft]


# --- two who write at once --------------------------------------------------------------------------------------


@pytest.fixture
def other_client(client):
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.OWNER))
    return client


def told(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_two_who_change_different_things_both_have_them_kept(owner, owner_client, other_client, plan):
    draft = work.draft(owner, plan)
    mine, theirs = as_shown(owner_client, draft), as_shown(other_client, draft)
    assert keep(other_client, draft, theirs, terms="Half now, half then.", carriage="15").status_code == 302

    answer = keep(owner_client, draft, mine, words="A word to them.")
    page = told(answer.content.decode())
    assert answer.status_code == 409 and "joss changed this quote while you were writing" in page
    assert "You both changed this" not in page and "Terms: Half now, half then." in page
    # Sent again as it stands on the page now, nothing of either is lost.
    again = {bound.name: str(bound.value() or "") for bound in answer.context["form"]}
    assert keep(owner_client, draft, again, do="keep").status_code == 302
    draft.refresh_from_db()
    assert (draft.terms, draft.carriage, draft.words) == ("Half now, half then.", Decimal(15), "A word to them.")


def test_where_both_changed_the_same_the_second_sees_both_and_says_which_stands(
    owner, owner_client, other_client, plan
):
    draft = work.draft(owner, plan)
    option = draft.options.get()
    mine, theirs = as_shown(owner_client, draft), as_shown(other_client, draft)
    keep(other_client, draft, theirs, words="Theirs, of two lines.\r\nThe second.", **{f"price_{option.pk}": "210"})

    answer = keep(owner_client, draft, mine, words="Mine.", **{f"price_{option.pk}": "220"})
    page = told(answer.content.decode())
    assert answer.status_code == 409
    assert "A few words to them Theirs, of two lines. The second. Mine." in page
    assert "Option 1, price of a board 210.00 220" in page
    draft.refresh_from_db()
    assert draft.words.startswith("Theirs"), "nothing is written over before it was seen"
    again = {bound.name: str(bound.value() or "") for bound in answer.context["form"]}
    assert again["words"] == "Mine." and keep(owner_client, draft, again, do="keep").status_code == 302
    draft.refresh_from_db()
    assert (draft.words, draft.options.get().price) == ("Mine.", Decimal(220))


def test_a_board_the_other_added_or_took_out_is_told(owner, owner_client, other_client, plan):
    draft = work.draft(owner, plan)
    option = draft.options.get()
    mine = as_shown(owner_client, draft)
    add_options(who=owner, draft=draft, plans=[work.beside(owner, plan, quantity=2)])
    answer = keep(owner_client, draft, mine, words="Mine.")
    assert answer.status_code == 409 and "Option 2, price of a board" in told(answer.content.decode())
    draft.refresh_from_db()

    mine, theirs = as_shown(owner_client, draft), as_shown(other_client, draft)
    keep(other_client, draft, theirs, do=f"out {option.pk}")
    answer = keep(owner_client, draft, mine, **{f"label_{option.pk}": "The small one"})
    page = told(answer.content.decode())
    assert answer.status_code == 409 and "taken out of the quote The small one" in page


def test_what_was_looked_over_is_what_is_made(owner, owner_client, plan):
    draft = work.draft(owner, plan)
    seen = draft.edit_version
    add_options(who=owner, draft=draft, plans=[work.beside(owner, plan, quantity=2)])
    key = {"form_key": secrets.token_urlsafe(24), "edit_version": seen}
    answer = owner_client.post(reverse("quotes:look", args=[draft.pk]), key, follow=True)
    assert "changed it meanwhile" in answer.content.decode() and not Quote.objects.exists()
    draft.refresh_from_db()
    assert draft.made is None


# --- by when it can be there ------------------------------------------------------------------------------------


def test_it_can_be_there_by_the_careful_estimate_and_later_than_wanted_is_said(owner, owner_client, plan):
    evenings(owner)
    draft = work.draft(owner, plan, wanted_by=timezone.localdate() + timedelta(days=8))
    page = told(owner_client.get(reverse("quotes:ready", args=[draft.pk])).content.decode())
    assert "if it is accepted by" in page and "later than wanted" in page and "at the careful estimate" in page
    quote = make_from(who=owner, draft=draft, seen_version=draft.edit_version)
    assert quote.there_by == quote.there_by_reckoned > quote.wanted_by
    assert "hours at the careful estimate" in quote.there_by_words
    # A week is left for the answer; from then on the day moves.
    assert shown_to_customer(quote)["accepted_by"] == (timezone.localdate() + timedelta(days=7)).isoformat()
    page = told(owner_client.get(quote.get_absolute_url()).content.decode())
    assert "later than wanted, if accepted by" in page


def test_work_that_is_promised_already_makes_it_later(owner, plan):
    evenings(owner)
    today = timezone.localdate()
    free = there_by([plan], today)
    booked = [Booking(on=today + timedelta(days=n), starts=19 * 60, ends=22 * 60) for n in range(28)]
    book_anew(key="job 999", label="Another board", bookings=booked, since=today)
    assert there_by([plan], today).day > free.day > today


def test_the_maker_s_own_day_stands_and_the_timetable_s_is_kept_beside_it(owner, plan):
    evenings(owner)
    own = timezone.localdate() + timedelta(days=120)
    draft = work.draft(owner, plan, there_by=own)
    quote = make_from(who=owner, draft=draft, seen_version=draft.edit_version)
    assert quote.there_by == own != quote.there_by_reckoned and quote.there_by_reckoned is not None


def test_without_hours_in_the_shop_no_day_is_made_up(owner, plan):
    draft = work.draft(owner, plan)
    quote = make_from(who=owner, draft=draft, seen_version=draft.edit_version)
    assert quote.there_by is None and "Nobody is in the shop" in quote.there_by_words


def test_a_helper_sees_no_draft(client, owner, plan):
    draft = work.draft(owner, plan)
    client.force_login(Member.objects.create_user("tam", password="x"))
    for name in ("draft", "add", "look", "ready"):
        assert client.get(reverse(f"quotes:{name}", args=[draft.pk])).status_code == 403


def test_boards_of_one_picture_are_named_by_what_tells_them_apart(owner, plan):
    pair, tiles = work.beside(owner, plan, quantity=2), work.beside(owner, plan, method="tiles")
    draft = work.draft(owner, plan, pair, tiles, work.another(owner))
    assert [one.label for one in draft.options.all()] == ["Flag", "Flag, 2 boards", "Flag, single tiles", "Pennant"]


def test_what_a_price_would_do_is_told_while_it_is_typed_and_nothing_is_kept(owner, owner_client, plan):
    """By hand: 300.00 and carriage of 20.00 are 320.00, a quarter of it first 80.00."""
    draft = work.draft(owner, plan, deposit=Fraction(1, 2))
    option = draft.options.get()
    address = reverse("quotes:at_price", args=[draft.pk, option.pk])
    asked = {f"price_{option.pk}": "300", "carriage": "20", "deposit": "25"}
    page = told(owner_client.get(address, asked).content.decode())
    assert "The customer pays €\u00a0320.00" in page.replace("€ ", "€\u00a0") and "80.00" in page
    odd = told(owner_client.get(address, {**asked, f"price_{option.pk}": "a lot"}).content.decode())
    assert "a lot" in odd and option.price == draft.options.get().price
    assert owner_client.get(reverse("quotes:at_price", args=[draft.pk, option.pk + 99])).status_code == 404


def test_what_the_carrier_is_paid_comes_off_what_is_the_maker_s(owner, plan):
    """The settings' sum once; by a tariff as many parcels as boards."""
    shop = Workshop(pk=1, edit_version=0)
    record = json.loads(plan.result)
    record["figures"].pop("carriage", None)
    free = leaves_the_maker(record, Decimal(300), 1, Decimal(0), shop)
    shop.carriage_paid = Decimal(12)
    assert free.profit - leaves_the_maker(record, Decimal(300), 1, Decimal(0), shop).profit == 12
    record["figures"]["carriage"] = {"value": ["decimal", "9.50"]}
    two = leaves_the_maker(record, Decimal(150), 2, Decimal(0), shop)
    assert (two.carriage_paid, free.profit - two.profit) == (Decimal("19.00"), Decimal("19.00"))
