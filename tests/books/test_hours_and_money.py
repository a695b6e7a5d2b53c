"""How a piece is shared by its woods, a fair by what sold there, and when a deposit is sold; worked out by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from shopapp.books.earned import earned_tables
from shopapp.books.entries import Currency, ledger
from shopapp.books.paid import paid_rows, standing_at
from shopapp.books.period import Period
from shopapp.books.sums import added, of_period
from shopapp.listings.models import Expense, Fair, FairHours, Piece, PieceCost, Sale
from shopapp.payments.models import Account, Invoice, Payment
from shopapp.workshop.readers import the_workshop
from tests.support import work

EURO, DOLLAR = Currency("€", 2), Currency("$", 2)
TODAY = date(2026, 11, 29)
SEEDS = (5, 6)


def sold_piece(number: int, job, woods: list[tuple[str, str]], **sale) -> Piece:
    facts = {"woods": [{"key": name, "name": name, "scientific": "", "share": share, "listed": "", "allergen": ""}
                       for name, share in woods]}  # fmt: skip
    piece = Piece.objects.create(number=number, job=job, title=f"Board {number}", made_on=date(2026, 3, 1), facts=facts)
    money = {"currency_symbol": "€", "currency_exponent": 2}
    about = {"piece": piece, "basis": "written", "on": date(2026, 3, 1), **money}
    PieceCost.objects.create(kind="wood", name="wood", amount=Decimal("20.00"), **about)
    PieceCost.objects.create(kind="labour", name="Labour", amount=Decimal("66.00"), minutes=180, **about)
    price = sale.pop("price", Decimal("100.00"))
    told = {"how": "cash", "on": date(2026, 3, 9), "price": price, "gross": price, "net": price, **money, **sale}
    piece.sale = Sale.objects.create(piece=piece, **told)
    piece.save()
    return piece


def rows_of(table) -> dict[str, list]:
    return {row.cells[0].value: [cell.value for cell in row.cells[1:]] for row in table.rows}


def test_a_piece_of_two_woods_is_shared_by_the_face_and_its_hour_is_theirs(owner):
    """100.00 came in, 20.00 went out beside three hours: 80.00 ÷ 3 h. A quarter of it is the accent wood's."""
    job = work.job(owner)
    sold_piece(1, job, [("Walnut", "3/4"), ("Padauk", "1/4")])
    _, wood, channel = earned_tables(ledger(the_workshop()), Period(2026), EURO)
    found = rows_of(wood)
    assert found["Walnut"] == [
        1, Decimal("75.00"), Decimal("15.00"), 135, Decimal("26.67"), Decimal("10.50"), Fraction(14, 100),
    ]  # fmt: skip
    assert found["Padauk"][:4] == [1, Decimal("25.00"), Decimal("5.00"), 45]
    assert rows_of(channel)["Without a channel"][4] == found["All of it"][4] == Decimal("26.67")
    assert "share of the face" in wood.words


def test_a_fair_s_stall_and_hours_are_shared_over_what_sold_there_by_price(owner):
    fair = Fair.objects.create(name="Quay fair", first=date(2026, 3, 8), last=date(2026, 3, 9), minutes=300, hour=20)
    money = {"currency_symbol": "€", "currency_exponent": 2}
    Expense.objects.create(kind="stall", on=fair.first, amount=Decimal("40.00"), words="A stall", fair=fair, **money)
    FairHours.objects.create(fair=fair, on=fair.first, minutes=200)
    one, two = (work.job(owner, label=label) for label in ("Heron", "Otter"))
    sold_piece(1, one, [], fair=fair, price=Decimal("300.00"))
    sold_piece(2, two, [], fair=fair, price=Decimal("100.00"))
    book = ledger(the_workshop())
    design, _, channel = earned_tables(book, Period(2026), EURO)
    # 40.00 and five hours: three parts of four to the one, one to the other.
    assert rows_of(design)["Heron"][2:4] == [Decimal("50.00"), 180 + 225]
    assert rows_of(design)["Otter"][2:4] == [Decimal("30.00"), 180 + 75]
    assert rows_of(channel)["Quay fair"][:3] == [2, Decimal("400.00"), Decimal("80.00")]
    stood = [one for one in book.entries if one.line == "stood"]
    assert [(one.on.day, one.minutes, one.amount) for one in stood] == [
        (8, 200, Decimal("66.67")), (9, 100, Decimal("33.33")),
    ]  # fmt: skip


# --- money ------------------------------------------------------------------------------------------------------


def test_a_deposit_of_december_is_paid_in_advance_until_the_board_is_handed_over_in_january(owner):
    money = {"currency_symbol": "€", "currency_exponent": 2}
    account = Account.objects.create(key="quote 3", label="Heron", for_whom="Wren", lines="[]", gross=300, **money)
    invoice = Invoice.objects.create(
        account=account, kind="deposit", year=2025, number=1, for_whom="Wren", dated=date(2025, 12, 20),
        due=date(2025, 12, 30), net=150, gross=150, **money,
    )  # fmt: skip
    Payment.objects.create(invoice=invoice, on=date(2025, 12, 28), amount=150, how="cash")
    sold_piece(1, work.job(owner), [], on=date(2026, 1, 9), price=Decimal(300), how="invoice", account_key="quote 3")
    book = ledger(the_workshop())
    assert added(of_period(book, Period(2025), EURO)).earned.income == 0
    assert added(of_period(book, Period(2026), EURO)).earned.income == 300
    rows = paid_rows(book)
    december, january = (standing_at(rows, day, EURO) for day in (date(2025, 12, 31), date(2026, 1, 31)))
    assert (december.owed, december.advance) == ({}, {"quote 3": Decimal(150)})
    assert (january.owed, january.advance) == ({"quote 3": Decimal(150)}, {})
