"""An invoice is issued once, under the next number, and never changed; what is wrong is credited under another."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.payments.actions import account_of, expect, stop_expecting
from shopapp.payments.balances import balances_of
from shopapp.payments.deals import DealLine
from shopapp.payments.invoices.actions import issue_invoice
from shopapp.payments.invoices.drafts import NotNow, kinds_open
from shopapp.payments.invoices.numbering import OutOfOrder
from shopapp.payments.models import CreditNote, Invoice, InvoiceLine, MoneyPaper, Payment, Series, TakenOff
from shopapp.payments.readers import standing
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from tests.support.money import credited, deal, draft, invoiced, paid


@pytest.fixture
def account(db):
    return expect(None, deal())


def sale(number: int, **changes):
    return expect(None, deal(key=f"sale {number}", **changes))


# --- numbers ----------------------------------------------------------------------------------------------------


def test_numbers_follow_on_one_another_and_begin_anew_with_the_year_of_the_invoice(db):
    today = timezone.localdate()
    last_year = today - timedelta(days=today.timetuple().tm_yday)
    numbers = [invoiced(None, sale(0), dated=last_year, due=today).reference]
    numbers += [invoiced(None, sale(n)).reference for n in (1, 2)]
    assert numbers == [f"{last_year.year}-0001", f"{today.year}-0001", f"{today.year}-0002"]


def test_who_is_refused_leaves_no_number_out(db):
    invoiced(None, sale(1))
    nothing = sale(2, lines=(DealLine("A gift", 1, Decimal(0)),), carriage=Decimal(0))
    with pytest.raises(PlannerError, match="comes to nothing"):
        invoiced(None, nothing)
    with pytest.raises(RuntimeError), transaction.atomic():
        invoiced(None, sale(3))
        raise RuntimeError("the lamp went out")
    assert invoiced(None, sale(4)).number == 2
    assert list(Invoice.objects.order_by("number").values_list("number", flat=True)) == [1, 2]


def test_no_invoice_is_dated_before_the_one_whose_number_goes_before(db):
    today = timezone.localdate()
    # Two days of one year: each year counts anew.
    later = today if today.timetuple().tm_yday > 1 else today - timedelta(days=1)
    invoiced(None, sale(1), dated=later)
    with pytest.raises(OutOfOrder, match="numbers follow the days") as refused:
        invoiced(None, sale(2), dated=later - timedelta(days=1))
    assert refused.value.field == "dated"


def test_credit_notes_have_numbers_of_their_own(account):
    invoice = invoiced(None, account)
    assert [credited(None, invoice, "10").reference for _ in range(2)] == [
        f"C{invoice.year}-0001",
        f"C{invoice.year}-0002",
    ]


# --- which invoice, of what -------------------------------------------------------------------------------------


def test_a_deposit_invoice_then_the_rest_are_together_what_was_agreed(account):
    deposit = invoiced(None, account, "deposit")
    assert (deposit.gross, deposit.tax_sum, deposit.net) == (Decimal("386.00"), Decimal("64.33"), Decimal("321.67"))
    assert deposit.lines.get().words == "Deposit of 50\u00a0%: Quote 2026-012: Heron"
    paid(None, deposit, "100")
    rest = invoiced(None, account, "rest")
    off = rest.taken_off.get()
    assert (off.deposit, off.gross, off.tax_sum, off.paid) == (
        deposit, Decimal("386.00"), Decimal("64.33"), Decimal(100),
    )  # fmt: skip
    # The whole is 772.00 with 128.67 of tax in it.
    assert (rest.gross, rest.tax_sum) == (Decimal("386.00"), Decimal("64.34"))
    assert standing("quote 12").owed == Decimal("772.00")
    assert [line.words for line in rest.lines.all()] == ["Heron, a board for the wall", "Carriage"]


def test_where_tax_comes_on_top_a_deposit_holds_its_share_of_it_and_the_rest_the_other(db):
    account = expect(None, deal(tax_included=False))
    assert account.gross == Decimal("926.40")
    deposit, rest = invoiced(None, account, "deposit"), invoiced(None, account, "rest")
    assert deposit.tax_included and not rest.tax_included
    assert (deposit.gross, deposit.tax_sum) == (Decimal("463.20"), Decimal("77.20"))
    assert (rest.gross, rest.tax_sum, rest.net) == (Decimal("463.20"), Decimal("77.20"), Decimal("386.00"))


def test_what_stands_says_which_invoice_comes_next(account):
    with pytest.raises(NotNow):
        invoiced(None, account, "rest")
    deposit = invoiced(None, account, "deposit")
    for kind in ("deposit", "whole"):
        with pytest.raises(NotNow):
            invoiced(None, account, kind)
    credited(None, deposit, "386")
    whole = invoiced(None, account, "whole")
    assert whole.gross == Decimal("772.00")
    with pytest.raises(NotNow, match="is for all of it"):
        invoiced(None, account, "deposit")


def test_a_deposit_of_everything_is_an_invoice_for_everything(account):
    with pytest.raises(PlannerError, match="Write an invoice for all of it instead"):
        invoiced(None, account, "deposit", lines=(DealLine("All", 1, Decimal("772.00")),))


def test_the_rest_is_less_what_is_left_of_a_deposit_that_was_credited_in_part(account):
    deposit = invoiced(None, account, "deposit")
    note = credited(None, deposit, "86.00")
    assert (note.gross, note.tax_sum) == (Decimal("86.00"), Decimal("14.33"))
    rest = invoiced(None, account, "rest")
    off = rest.taken_off.get()
    assert (off.gross, off.tax_sum) == (Decimal("300.00"), Decimal("50.00"))
    assert (rest.gross, rest.tax_sum) == (Decimal("472.00"), Decimal("78.67"))


def test_nothing_more_is_invoiced_for_what_was_called_off(account):
    stop_expecting(None, account.key, "Heron was called off.")
    with pytest.raises(NotNow, match="was called off"):
        invoiced(None, account)


def test_a_deal_nobody_expected_money_for_is_expected_with_its_first_invoice(db):
    one = deal(key="quote 99")
    assert standing("quote 99") is None
    invoice = issue_invoice(who=None, owed=one, draft=draft(account_of(one), "deposit"))
    assert invoice.account.key == "quote 99" and standing("quote 99").owed == Decimal("772.00")


def test_it_says_who_the_shop_was_that_day_whatever_becomes_of_it(account):
    Workshop.objects.update_or_create(pk=1, defaults={"name": "Reedbank Workshop", "pay_to": "Creek Bank 12"})
    invoice = invoiced(None, account)
    Workshop.objects.update(name="Another", pay_to="Elsewhere")
    kept = Invoice.objects.get().letterhead
    assert (kept["name"], kept["pay_to"]) == ("Reedbank Workshop", "Creek Bank 12")
    assert MoneyPaper.objects.get().invoice == invoice


# --- credit -----------------------------------------------------------------------------------------------------


def test_no_more_is_credited_than_is_left_and_parts_add_up_with_their_tax(account):
    invoice = invoiced(None, account)
    for amount in ("100.01", "333.33", "338.66"):
        credited(None, invoice, amount)
    notes = CreditNote.objects.all()
    assert sum(note.gross for note in notes) == invoice.gross
    assert sum(note.tax_sum for note in notes) == invoice.tax_sum == Decimal("128.67")
    with pytest.raises(NotNow, match="credited already"):
        credited(None, invoice, "0.01")


@pytest.mark.parametrize("amount", ["0", "772.01"])
def test_an_amount_that_is_not_in_it_is_not_credited(account, amount):
    with pytest.raises(PlannerError, match="is left of"):
        credited(None, invoiced(None, account), amount)
    assert not CreditNote.objects.exists()


def test_what_was_paid_for_a_credited_invoice_is_to_be_given_back(account):
    invoice = invoiced(None, account)
    paid(None, invoice, "772")
    credited(None, invoice, "72")
    (balance,) = balances_of([invoice])
    assert (balance.open, balance.to_give_back) == (0, Decimal(72))
    assert balance.state(timezone.localdate()) == "to be given back in part"
    assert standing("quote 12").words.startswith("€\u00a072.00 more was paid than is owed")


# --- for good ---------------------------------------------------------------------------------------------------


@pytest.mark.storage
def test_the_database_refuses_to_change_or_delete_what_was_issued(account):
    deposit = invoiced(None, account, "deposit")
    paid(None, deposit, "5")
    rest = invoiced(None, account, "rest")
    credited(None, rest, "1")
    changes = (
        (Invoice, {"gross": Decimal(1)}), (Invoice, {"number": 9}), (InvoiceLine, {"amount": Decimal(3)}),
        (TakenOff, {"gross": Decimal(1)}), (CreditNote, {"gross": Decimal(2)}), (Payment, {"amount": Decimal(6)}),
    )  # fmt: skip
    for model, change in changes:
        with pytest.raises(DatabaseError), transaction.atomic():
            model.objects.update(**change)
    for model in (CreditNote, TakenOff, InvoiceLine, Payment, Invoice):
        with pytest.raises(DatabaseError), transaction.atomic():
            model.objects.all()._raw_delete(using="default")
    with pytest.raises(DatabaseError), transaction.atomic():
        Invoice.objects.bulk_create([_again(rest)])
    Invoice.objects.update(for_whom="a name taken away", address="")


def _again(invoice: Invoice) -> Invoice:
    names = [field.attname for field in Invoice._meta.concrete_fields if field.name not in ("id", "made_at")]
    return Invoice(**{name: getattr(invoice, name) for name in names})


def test_a_helper_issues_and_credits_nothing(account):
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    with pytest.raises(PermissionDenied):
        invoiced(joss, account)
    invoice = invoiced(None, account)
    with pytest.raises(PermissionDenied):
        credited(joss, invoice, "1")
    assert Series.objects.get().kind == "invoice"


@pytest.mark.parametrize(("share", "first"), [(Fraction(0), "whole"), (Fraction(1, 3), "deposit"), (1, "whole")])
def test_a_draft_begins_with_the_deposit_where_one_is_asked(db, share, first):
    account = expect(None, deal(deposit=share))
    assert kinds_open(account, [], stopped=False)[0] == first
    assert draft(account, first).lines
