"""The pages of the money ledger: what was typed stays, a press that comes twice does it once, lists add up."""

from __future__ import annotations

import secrets
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.common import tables
from shopapp.payments import deals
from shopapp.payments.actions import expect
from shopapp.payments.models import Account, CreditNote, Invoice, Payment
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from tests.support.money import credited, deal, invoiced, paid


@pytest.fixture
def account(owner):
    return expect(owner, deal())


def page_of(client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def as_begun(client, at: str, **changes) -> dict[str, str]:
    """The form of an invoice as the page begins it."""
    form = client.get(at).context["form"]
    typed = {bound.name: bound.field.prepare_value(bound.value()) for bound in form.visible_in_order()}
    typed = {name: "" if value is None else str(value) for name, value in typed.items()}
    sums = client.get(at).context["sums"]
    seen = str(sums.gross) if sums else ""
    return {**typed, "rows": str(form.count), "seen": seen, "form_key": secrets.token_urlsafe(24), **changes}


def new(account: Account, kind: str = "") -> str:
    return f"{reverse('payments:new')}?for={account.asks_for}" + (f"&kind={kind}" if kind else "")


def test_the_deposit_invoice_begins_as_it_was_agreed_and_one_press_issues_it(owner_client, account):
    address = new(account)
    page = page_of(owner_client, address)
    for words in ("Deposit of 50\u00a0%: Quote 2026-012: Heron", "€\u00a0386.00", "€\u00a064.33", "Wren Attwater"):
        assert words in page, words
    answer = owner_client.post(address, as_begun(owner_client, address))
    invoice = Invoice.objects.get()
    assert answer.status_code == 302 and answer.url == invoice.get_absolute_url()
    assert (invoice.kind, invoice.gross) == ("deposit", Decimal("386.00"))
    assert invoice.due == invoice.dated + timedelta(days=14)


def test_another_sum_is_shown_before_it_is_issued(owner_client, account):
    address = new(account, "whole")
    typed = as_begun(owner_client, address, each_1="380")
    answer = owner_client.post(address, typed)
    page = answer.content.decode()
    assert answer.status_code == 422 and "It was reckoned anew" in page and "€\u00a0774.00" in page
    assert not Invoice.objects.exists()
    assert owner_client.post(address, {**typed, "seen": "774.00"}).status_code == 302
    assert Invoice.objects.get().gross == Decimal("774.00")


def test_another_line_keeps_what_was_typed(owner_client, account):
    address = new(account, "whole")
    typed = as_begun(owner_client, address, words_3="A hook for it", each_3="a lot", for_whom="Sedge & Daughters")
    page = owner_client.post(address, {**typed, "do": "line"}).content.decode()
    assert "Line 4" in page and "A hook for it" in page and 'value="a lot"' in page and "Sedge &amp; Daughters" in page
    assert "error-summary" not in page and not Invoice.objects.exists()


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("each_1", "a lot", "a lot"),
        ("each_1", "", "Write what one of it costs"),
        ("words_1", "", "Write what it is, or empty the line"),
        ("count_1", "0", "0"),
        ("each_1", "99999999", "more than this book can hold"),
        ("dated", "2001-01-01", "more than ten years ago"),
        ("dated", "2099-01-01", "still to come"),
        ("due", "2001-01-01", "before it is written"),
        ("due", "2099-01-01", "more than a year after"),
        ("for_whom", "", "Nothing is written here yet"),
        ("words", "x" * 601, "too long"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_stays(owner_client, account, field, text, said):
    address = new(account, "whole")
    answer = owner_client.post(address, as_begun(owner_client, address, address="As typed", **{field: text}))
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page and "As typed" in page
    assert not Invoice.objects.exists()


def test_a_second_press_issues_no_second_invoice_and_pays_nothing_twice(owner_client, account):
    address = new(account, "whole")
    typed = as_begun(owner_client, address)
    assert [owner_client.post(address, typed).status_code for _ in range(2)] == [302, 302]
    invoice = Invoice.objects.get()
    key = {"form_key": secrets.token_urlsafe(24), "on": timezone.localdate().isoformat(), "how": "cash", "note": ""}
    pay = reverse("payments:pay", args=[invoice.pk])
    assert [owner_client.post(pay, {**key, "amount": "70"}).status_code for _ in range(2)] == [302, 302]
    assert Payment.objects.get().amount == Decimal(70)
    credit = reverse("payments:credit", args=[invoice.pk])
    typed = {
        "form_key": secrets.token_urlsafe(24), "dated": timezone.localdate().isoformat(), "amount": "7", "reason": "x",
    }  # fmt: skip
    assert [owner_client.post(credit, typed).status_code for _ in range(2)] == [302, 302]
    assert CreditNote.objects.get().gross == Decimal(7)


def test_more_than_is_open_is_asked_about_on_the_page(owner_client, account):
    invoice = invoiced(None, account, "deposit")
    pay = reverse("payments:pay", args=[invoice.pk])
    assert "more than is open" not in page_of(owner_client, pay)
    typed = {"on": timezone.localdate().isoformat(), "how": "cash", "note": "", "amount": "400"}
    asked = owner_client.post(pay, {**typed, "form_key": secrets.token_urlsafe(24)})
    page = asked.content.decode()
    assert asked.status_code == 422 and "€\u00a014.00 more" in page and "So much came in" in page
    typed |= {"form_key": secrets.token_urlsafe(24), "more_is_meant": "on"}
    assert owner_client.post(pay, typed).status_code == 302
    assert "€\u00a014.00" in page_of(owner_client, invoice.get_absolute_url())


def test_a_sale_by_hand_takes_tax_and_money_from_the_settings_and_leads_to_its_invoice(owner_client):
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Decimal("0.1"), "tax_included": False})
    typed = {
        "person": "Aunt Sedge", "label": "Two trivets", "deposit": "0", "rows": "3",
        "words_1": "Trivet", "count_1": "2", "each_1": "35", "words_2": "Box", "each_2": "4.50",
        "form_key": secrets.token_urlsafe(24),
    }  # fmt: skip
    answer = owner_client.post(reverse("payments:sale"), typed)
    account = Account.objects.get()
    assert answer.status_code == 302 and answer.url == new(account)
    assert account.for_whom == account.person.name == "Aunt Sedge"
    assert (account.gross, account.tax, account.tax_included) == (Decimal("81.95"), Fraction(1, 10), False)
    assert "€\u00a07.45" in page_of(owner_client, answer.url)
    refused = owner_client.post(reverse("payments:sale"), {**typed, "person": "", "words_1": ""})
    assert refused.status_code == 422 and "Two trivets" in refused.content.decode()


def test_a_sale_by_hand_is_called_off_and_on_again_and_a_quote_s_is_not_called_off_here(owner_client, account):
    by_hand = expect(None, deal(key="sale 1a"))
    for one, on, stopped in ((by_hand, "0", True), (by_hand, "1", False), (account, "0", False)):
        address = reverse("payments:call_off", args=[one.pk])
        owner_client.post(address, {"form_key": secrets.token_urlsafe(24), "on": on})
        page = page_of(owner_client, one.get_absolute_url())
        assert ("It was called off." in page) is stopped
    assert "It is called off" not in page_of(owner_client, account.get_absolute_url())


def test_a_deal_not_in_the_book_yet_is_found_where_it_was_agreed(owner_client, monkeypatch):
    monkeypatch.setitem(deals._KINDS, "quote", {12: deal()}.get)
    address = f"{reverse('payments:new')}?for=quote-12"
    assert not Account.objects.exists()
    assert owner_client.post(address, as_begun(owner_client, address)).status_code == 302
    assert Account.objects.get().key == "quote 12" and Invoice.objects.get().kind == "deposit"
    assert owner_client.get(f"{reverse('payments:new')}?for=quote-13").status_code == 404


def test_where_the_maker_takes_no_tax_none_is_shown_and_the_maker_s_own_sentence_stands_there(owner_client):
    Workshop.objects.update_or_create(pk=1, defaults={"invoice_words": "No tax is charged by a shop of this size."})
    account = expect(None, deal(tax=Fraction(0)))
    page = page_of(owner_client, new(account, "whole"))
    assert "No tax is charged by a shop of this size." in page and "Where your rules ask for a sentence" in page
    invoice = invoiced(None, account, words="No tax is charged by a shop of this size.")
    page = page_of(owner_client, invoice.get_absolute_url())
    assert "No tax is charged" in page and "Tax held" not in page and "Before tax" not in page


def test_a_deposit_invoice_leads_to_its_rest_and_once_that_is_credited_to_another(owner_client, account):
    deposit = invoiced(None, account, "deposit")
    assert "Write the invoice for the rest" in page_of(owner_client, deposit.get_absolute_url())
    rest = invoiced(None, account, "rest")
    page = page_of(owner_client, deposit.get_absolute_url())
    assert (
        "Write the invoice for the rest" not in page and f'It is taken off <a href="{rest.get_absolute_url()}' in page
    )
    assert f"{rest} took it off" in page_of(owner_client, reverse("payments:credit", args=[deposit.pk]))
    credited(None, rest, "386")
    assert "Write the invoice for the rest" in page_of(owner_client, deposit.get_absolute_url())
    again = invoiced(None, account, "rest")
    assert again.gross == rest.gross


# --- lists ------------------------------------------------------------------------------------------------------


def five_invoices(owner) -> dict[str, Invoice]:
    """One of each state, oldest first."""
    today = timezone.localdate()
    ago = today - timedelta(days=100)
    made = {}
    for n, (name, who, dated) in enumerate(
        [("overdue", "Aunt Sedge", ago), ("paid", "Wren Attwater", ago), ("part", "Tamsin Reave", today),
         ("cancelled", "Ebb Harrow", today), ("back", "Ebb Harrow", today)]
    ):  # fmt: skip
        account = expect(owner, deal(key=f"sale {n}", label=f"Board that is {name}", for_whom=who))
        due = dated + timedelta(days=14)
        made[name] = invoiced(owner, account, dated=dated, due=due)
    paid(owner, made["paid"], "772")
    paid(owner, made["part"], "72")
    credited(owner, made["cancelled"], "772")
    paid(owner, made["back"], "772")
    credited(owner, made["back"], "12")
    return made


def test_invoices_are_narrowed_by_state_number_name_and_year(owner, owner_client):
    made = five_invoices(owner)

    def shown(**asked) -> set[str]:
        lines = owner_client.get(reverse("payments:invoices"), asked).context["lines"]
        return {name for name, invoice in made.items() if invoice.pk in {line.invoice.pk for line in lines}}

    assert shown() == set(made)
    assert shown(show="open") == {"overdue", "part"}
    assert shown(show="overdue") == {"overdue"}
    assert shown(show="paid") == {"paid", "back"}
    assert shown(show="cancelled") == {"cancelled"}
    assert shown(show="back") == {"back"}
    assert shown(words="sedge") == {"overdue"} and shown(words="board part") == {"part"}
    assert shown(words=made["paid"].reference) == {"paid"}
    assert shown(words="ebb", show="cancelled") == {"cancelled"}
    assert shown(words=made["back"].credit_notes.get().reference.lower()) == {"back"}
    assert shown(year="1999") == shown(show="odd") == set(made)
    assert shown(words="nobody") == set()


def test_what_is_owed_is_told_by_age_and_what_is_not_invoiced_beside_it(owner, owner_client):
    five_invoices(owner)
    expect(owner, deal(key="quote 1"))
    invoiced(owner, expect(owner, deal(key="quote 2")), "deposit")
    (table,) = owner_client.get(reverse("payments:owed")).context["tables"]
    # 100 days ago and 14 to pay: 86 days late. Open today: 700.00 in part, and the deposit of 386.00.
    assert dict(table.rows) == {
        "not due yet": Decimal("1086.00"), "1 to 30 days late": 0, "31 to 60 days late": 0,
        "61 to 90 days late": Decimal("772.00"), "more than 90 days late": 0,
    }  # fmt: skip
    assert table.invoiced == Decimal("1858.00")
    # One quote whole and the rest of another, and the sale whose invoice was cancelled is owed still.
    assert table.not_invoiced == Decimal("772.00") + Decimal("386.00") + Decimal("772.00")
    assert table.to_give_back == Decimal("12.00")


def test_a_year_as_a_table_adds_up_and_no_cell_is_taken_for_a_formula(owner, owner_client):
    made = five_invoices(owner)
    formula = invoiced(owner, expect(owner, deal(key="sale 9", label="=1+1", for_whom="@risk")))
    paid(owner, formula, "1.50", note="+49 in an envelope")
    year = timezone.localdate().year
    rows = tables.read(owner_client.get(reverse("payments:invoices_csv", args=[year])).content)
    mine = next(row for row in rows if row["number"] == formula.reference)
    assert (mine["what for"], mine["for whom"], mine["tax %"]) == ("=1+1", "@risk", "20")
    note = next(row for row in rows if row["number"].startswith("C") and "12.00" in row["to pay"])
    assert note["to pay"] == "-12.00" and note["about"].startswith(made["back"].reference)
    of_year = [one.gross for one in Invoice.objects.filter(year=year)]
    assert sum(Decimal(row["to pay"]) for row in rows) == sum(of_year) - Decimal("784.00")
    rows = tables.read(owner_client.get(reverse("payments:payments_csv", args=[year])).content)
    assert sum(Decimal(row["amount"]) for row in rows) == Decimal("772") * 2 + 72 + Decimal("1.50")
    assert rows[-1]["note"] == "+49 in an envelope" and rows[-1]["amount"] == "1.50"


def test_a_helper_sees_no_money_anywhere(client, account):
    invoice = invoiced(None, account)
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    for address in (
        reverse("payments:invoices"), reverse("payments:owed"), reverse("payments:sale"), new(account),
        invoice.get_absolute_url(), account.get_absolute_url(), reverse("payments:pay", args=[invoice.pk]),
        reverse("payments:invoices_csv", args=[invoice.year]),
    ):  # fmt: skip
        assert client.get(address).status_code == 403, address
