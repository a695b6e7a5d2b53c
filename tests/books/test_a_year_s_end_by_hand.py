"""Two boards over a year's end, through all a maker does with them; every sum of the books worked out by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from django.utils import timezone

from shopapp.books.earned import earned_tables
from shopapp.books.entries import Currency, ledger
from shopapp.books.paid import paid_rows, standing_at
from shopapp.books.period import Period
from shopapp.books.statement import statements, to_look_at
from shopapp.books.sums import added, of_period, stock_at
from shopapp.jobs.actions import accept_quote
from shopapp.jobs.models import Job
from shopapp.jobs.timing import timed_of
from shopapp.listings.costing.actions import write_difference
from shopapp.listings.models import Channel
from shopapp.listings.parcels.actions import make_again
from shopapp.listings.pieces.actions import number_pieces
from shopapp.listings.pieces.moving import Going, bring
from shopapp.listings.selling.actions import give, sell
from shopapp.listings.selling.ending import take_back
from shopapp.listings.selling.instead import send_instead
from shopapp.payments.models import Account, CreditNote, Invoice, Payment
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import pieces, work
from tests.support.log import write

EURO = Currency("€", 2)


@pytest.fixture
def boards(owner):
    """Two boards of one job, of two hours at 24.00 and at 3.00 overhead: 27.00 each, an hour in each."""
    Workshop.objects.update_or_create(
        pk=1, defaults={"hour": Decimal(24), "overhead_hour": Decimal(3), "tax": Fraction(1, 5), "tax_included": True}
    )
    job = work.move(owner, work.job(owner, None, label="Heron", kind="sale"), "under way")
    write(owner, timed_of(job), "whole", 120)
    return number_pieces(who=owner, job=work.move(owner, job, "finished"), count=2, made_on=date(2025, 12, 1))


def of(year: int, month: int = 0):
    return added(of_period(ledger(the_workshop()), Period(year, month), EURO))


def stock(day: date) -> Decimal:
    return stock_at(ledger(the_workshop()), day, EURO)


def test_sold_in_december_damaged_in_january_written_off_and_the_other_given(owner, boards):
    one, two = boards
    site = Channel.objects.create(name="Quay Market", kind="site", fixed=Decimal("5.00"))
    sale = sell(who=owner, piece=one, price=Decimal(120), on=date(2025, 12, 20), how="cash", channel=site)
    # 120.00 with a sixth of tax in it is 100.00; less 5.00, 24.00 and 3.00.
    then = of(2025)
    assert [then.of(line) for line in ("sold", "tax", "spent-fee", "cost-labour", "cost-overhead")] == [
        100, 20, 5, 24, 3,
    ]  # fmt: skip
    assert (then.earned.profit, then.earned.hour(2), then.earned.margin) == (68, Decimal("92.00"), Fraction(68, 100))
    assert (stock(date(2025, 11, 30)), stock(date(2025, 12, 19)), stock(date(2025, 12, 31))) == (0, 54, 27)

    take_back(who=owner, sale=sale, kind="returned", on=date(2026, 1, 8), back=Decimal(60), where="damaged")
    assert stock(date(2026, 1, 8)) == 54
    one.refresh_from_db()
    bring(who=owner, piece=one, going=Going("gone", date(2026, 2, 1), words="split right through"))
    give(who=owner, piece=two, on=date(2026, 3, 1), to_whom="Aunt Sedge")
    now = of(2026)
    assert [now.of(line) for line in ("back", "tax", "cost-labour", "cost-overhead", "gone", "given")] == [
        50, -10, -24, -3, 27, 27,
    ]  # fmt: skip
    assert now.earned.profit == -50 and stock(date(2026, 3, 1)) == 0
    assert of(2026, 1).earned.profit == -50 + 27 and of(2026, 2).earned.profit == -27 and of(2026, 3).earned.profit == 0
    # What December said stays said.
    assert of(2025).earned.profit == 68
    table = statements(ledger(the_workshop()), Period(2026), date(2026, 3, 2))[0].stock
    assert [[cell.value for cell in row.cells[1:]] for row in table.rows] == [
        [1, 27], [0, 0], [1, 27], [-1, -27], [-1, -27], [0, 0],
    ]  # fmt: skip


def test_what_is_made_again_costs_with_the_loss_and_not_with_the_gifts(owner, boards):
    """Sold in December at 68.00 of profit and lost on its way; another of three hours, 81.00, goes out in January."""
    one = boards[0]
    site = Channel.objects.create(name="Quay Market", kind="site", fixed=Decimal("5.00"))
    sell(who=owner, piece=one, price=Decimal(120), on=date(2025, 12, 20), how="cash", channel=site)
    one.refresh_from_db()
    job = make_again(who=owner, parcel=pieces.a_parcel(owner, one, "sent", "lost"))
    job = work.move(owner, job, "under way")
    write(owner, timed_of(job), "whole", 180)
    again = number_pieces(who=owner, job=work.move(owner, job, "finished"), made_on=date(2026, 1, 10))[0]
    assert stock(date(2026, 1, 10)) == 27 + 81
    send_instead(who=owner, piece=again, on=date(2026, 1, 12))
    assert of(2025).earned.profit == 68
    now = of(2026)
    assert [now.of(line) for line in ("made", "again", "given", "gone")] == [81, 81, 0, 0]
    assert (now.earned.profit, now.earned.minutes, stock(date(2026, 1, 12))) == (-81, 180, 27)
    table = statements(ledger(the_workshop()), Period(2026), date(2026, 3, 2))[0].stock
    assert [[cell.value for cell in row.cells] for row in table.rows][4] == ["Gone out in another’s place", -1, -81]
    # It is lost through whoever sold the first.
    by_channel = earned_tables(ledger(the_workshop()), Period(2026), EURO)[2].rows
    assert [cell.value for cell in by_channel[0].cells][0::6] == ["Quay Market", -81]


def test_a_gift_has_a_cost_and_no_price_and_leaves_the_profit_as_it_is(owner, boards):
    give(who=owner, piece=boards[0], on=date(2026, 1, 5), to_whom="Aunt Sedge")
    now = of(2026)
    assert (now.of("given"), now.of("sold"), now.earned.profit, now.earned.minutes) == (27, 0, 0, 0)


def test_what_is_known_better_after_the_sale_counts_when_it_is_written_down(owner, boards):
    sell(who=owner, piece=boards[0], price=Decimal(60), on=date(2025, 12, 20), how="cash")
    job = boards[0].job
    write(owner, timed_of(job), "whole", 60)
    write_difference(who=owner, job=job)
    today = timezone.localdate()
    # Half an hour more in each: 12.00 and 1.50 of it sold already, as much in stock.
    assert of(2025).of("cost-labour") == 24
    assert [of(today.year, today.month).of(line) for line in ("cost-labour", "cost-overhead")] == [12, Decimal("1.50")]
    assert stock(today) == Decimal("40.50")


def test_sold_twice_it_is_counted_twice_costs_once_and_is_told_until_one_gives_way(owner, boards):
    one = boards[0]
    sell(who=owner, piece=one, price=Decimal(60), on=date(2025, 12, 20), how="cash")
    late = sell(who=owner, piece=one, price=Decimal(72), on=date(2025, 12, 21), how="cash", late_ok=True)
    then = of(2025)
    assert (then.of("sold"), then.of("cost-labour")) == (110, 24)
    assert "sold twice" in next(to_look_at(ledger(the_workshop()))).words
    take_back(who=owner, sale=late, kind="gave way", on=date(2025, 12, 30))
    then = of(2025)
    assert (then.of("sold") - then.of("back"), then.of("cost-labour")) == (50, 24)
    assert not list(to_look_at(ledger(the_workshop())))


def test_a_repair_that_was_quoted_is_paid_in_advance_until_it_is_handed_over_and_earned_then(owner):
    """120.00 with a sixth of tax in it, 40.00 of it paid before: 100.00 earned, 80.00 owed; 12.00 are credited then."""
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Fraction(1, 5), "tax_included": True})
    quote = work.quote(owner, work.kept(owner), price=Decimal(120))
    job = accept_quote(who=owner, quote=quote, label="The heron's foot")
    Job.objects.update(kind="repair", of=work.job(owner).pk, settled="charged")
    job.refresh_from_db()
    account, today = Account.objects.get(), timezone.localdate()
    deposit = an_invoice(account, "deposit", 40)
    Payment.objects.create(invoice=deposit, on=today, amount=Decimal(40), how="cash")

    def stands():
        at = standing_at(paid_rows(ledger(the_workshop())), today, EURO)
        year = of(today.year)
        return year.of("invoiced"), year.of("tax"), at.owed.get(account.key, 0), at.advance.get(account.key, 0)

    assert stands() == (0, 0, 0, 40)
    job = work.move(owner, job, "under way", "finished", "handed over")
    assert stands() == (100, 20, 80, 0)
    rest = an_invoice(account, "rest", 80)
    assert stands() == (100, 20, 80, 0)
    CreditNote.objects.create(invoice=rest, year=today.year, number=1, for_whom="Robin", dated=today, net=10, tax_sum=2,
                              gross=12, words="A dent.")  # fmt: skip
    assert stands() == (90, 18, 68, 0)
    work.move(owner, job, "finished")
    assert stands() == (0, 0, 0, 40)


def an_invoice(account: Account, kind: str, gross: int) -> Invoice:
    money, today = {"currency_symbol": "€", "currency_exponent": 2}, timezone.localdate()
    tax = round(Decimal(gross) / 6, 2)
    number = Invoice.objects.count() + 1
    return Invoice.objects.create(
        account=account, kind=kind, year=today.year, number=number, for_whom="Robin", dated=today, due=today,
        gross=gross, tax_sum=tax, net=gross - tax, **money,
    )  # fmt: skip


def test_sold_on_an_invoice_it_is_owed_until_it_is_paid(owner, boards):
    sell(who=owner, piece=boards[0], price=Decimal(120), on=date(2025, 12, 20), how="invoice", to_whom="Wren Attwater")
    key = Account.objects.get().key
    assert standing_at(paid_rows(ledger(the_workshop())), date(2025, 12, 31), EURO).owed == {key: Decimal(120)}
    # The invoice is the sale's, and is not counted beside it.
    assert of(2025).of("invoiced") == 0
