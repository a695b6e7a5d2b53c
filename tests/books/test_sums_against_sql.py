"""The books of shops that never were, held against plain SQL over the ledgers, which shares nothing with the app."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import connection

from shopapp.books.entries import Currency, ledger
from shopapp.books.listed import pieces_in_stock
from shopapp.books.period import Begins, Period
from shopapp.books.statement import statements
from shopapp.books.sums import added, of_period, stock_at, years
from shopapp.workshop.readers import the_workshop
from tests.support.books_at_random import RandomBooks

SEEDS = (1, 2, 3)
YEARS = (2023, 2024, 2025, 2026)
TODAY = date(2026, 11, 29)
# A piece is with a sale while one of its sales has begun and not ended; else it is where its newest event says.
SOLD = """EXISTS (SELECT 1 FROM listings_sale s WHERE s.piece_id = p.id AND s."on" <= %(day)s AND NOT EXISTS (
    SELECT 1 FROM listings_salechange c WHERE c.sale_id = s.id AND c.kind <> 'reduced' AND c."on" <= %(day)s))"""
AWAY = """(SELECT e."where" FROM listings_pieceevent e WHERE e.piece_id = p.id AND e."on" <= %(day)s
    AND e."where" NOT IN ('sent', 'sold') ORDER BY e.id DESC LIMIT 1)"""
# Whether that event says that it went out in the place of another.
INSTEAD = AWAY.replace('e."where" FROM', "e.instead_of_id IS NOT NULL FROM")
PLACES = {
    "sold": SOLD,
    "given": f"NOT {SOLD} AND {AWAY} = 'given' AND NOT {INSTEAD}",
    "again": f"NOT {SOLD} AND {AWAY} = 'given' AND {INSTEAD}",
    "gone": f"NOT {SOLD} AND {AWAY} = 'gone'",
    "stock": f"NOT {SOLD} AND COALESCE({AWAY}, '') NOT IN ('given', 'gone')",
}
COSTS = """SELECT COALESCE(SUM(k.amount), 0), COALESCE(SUM(k.minutes), 0) FROM listings_piececost k
    JOIN listings_piece p ON p.id = k.piece_id
    WHERE k."on" <= %(day)s AND k.currency_symbol = %(money)s AND (%(kind)s = '' OR k.kind = %(kind)s) AND """
BY_HAND = """SUBSTR(a.key, 1, 6) <> 'quote ' AND a.key NOT IN (SELECT account_key FROM listings_sale)"""
FLOWS = {
    "sold": 'SELECT SUM(net) FROM listings_sale WHERE currency_symbol = %(money)s AND "on" BETWEEN %(a)s AND %(b)s',
    "carriage": 'SELECT SUM(carriage) FROM listings_sale WHERE currency_symbol = %(money)s '
                'AND "on" BETWEEN %(a)s AND %(b)s',
    "back": 'SELECT SUM(c.back - c.back_tax) FROM listings_salechange c JOIN listings_sale s ON s.id = c.sale_id '
            'WHERE s.currency_symbol = %(money)s AND c."on" BETWEEN %(a)s AND %(b)s',
    "made": 'SELECT SUM(amount) FROM listings_piececost WHERE currency_symbol = %(money)s '
            'AND "on" BETWEEN %(a)s AND %(b)s',
}  # fmt: skip
INVOICED = f"""SELECT COALESCE((SELECT SUM(i.%(of)s) FROM payments_invoice i JOIN payments_account a ON
    a.id = i.account_id WHERE {BY_HAND} AND i.currency_symbol = %%(money)s AND i.dated BETWEEN %%(a)s AND %%(b)s), 0)
    - COALESCE((SELECT SUM(n.%(of)s) FROM payments_creditnote n JOIN payments_invoice i ON i.id = n.invoice_id
    JOIN payments_account a ON a.id = i.account_id WHERE {BY_HAND} AND i.currency_symbol = %%(money)s
    AND n.dated BETWEEN %%(a)s AND %%(b)s), 0)"""
# What is owed for repairs by a quote that are handed over when a day ends: here each has one invoice of all of it.
HANDED = """SELECT SUM((SELECT i.%(of)s FROM payments_invoice i WHERE i.account_id = a.id)
    - COALESCE((SELECT SUM(n.%(of)s) FROM payments_creditnote n JOIN payments_invoice i ON i.id = n.invoice_id
    WHERE i.account_id = a.id AND n.dated <= %%(day)s), 0))
    FROM payments_account a JOIN jobs_job j ON a.key = 'quote ' || j.quote_id AND j.kind IN ('repair', 'complaint')
    WHERE a.currency_symbol = %%(money)s AND (SELECT e.state FROM jobs_jobevent e WHERE e.job_id = j.id
    AND DATE(e.at) <= %%(day)s ORDER BY e.id DESC LIMIT 1) = 'handed over'"""
TAX = """SELECT COALESCE((SELECT SUM(tax_sum) FROM listings_sale WHERE currency_symbol = %(money)s
    AND "on" BETWEEN %(a)s AND %(b)s), 0) - COALESCE((SELECT SUM(c.back_tax) FROM listings_salechange c
    JOIN listings_sale s ON s.id = c.sale_id WHERE s.currency_symbol = %(money)s
    AND c."on" BETWEEN %(a)s AND %(b)s), 0)"""
SPENT = """SELECT SUM(amount) FROM listings_expense WHERE kind = %(kind)s AND currency_symbol = %(money)s
    AND "on" BETWEEN %(a)s AND %(b)s"""


def ask(query: str, **given: object) -> list[Decimal]:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            # One database has days as text.
            given = {name: str(value) for name, value in given.items()}
        cursor.execute(query, given)
        return [Decimal(str(value or 0)).quantize(Decimal("0.01")) for value in cursor.fetchone()]


def costs(place: str, day: date, money: str, kind: str = "") -> list[Decimal]:
    return ask(COSTS + PLACES[place], day=day, money=money, kind=kind)


def grown(place: str, period: Period, money: str, kind: str = "") -> list[Decimal]:
    before, after = (costs(place, day, money, kind) for day in (period.first - timedelta(days=1), period.last))
    return [b - a for a, b in zip(before, after, strict=True)]


def handed_over(of: str, day: date, money: str) -> Decimal:
    return ask(HANDED % {"of": of}, day=day, money=money)[0]


@pytest.fixture(scope="module")
def at_random(rows_of_this_file):
    for seed in SEEDS:
        RandomBooks(seed)


@pytest.fixture
def book(db, at_random):
    return ledger(the_workshop())


def periods() -> list[Period]:
    years = [Period(year) for year in YEARS]
    return [*years, *(month for year in years for month in year.months)]


def test_every_line_of_every_year_and_month_is_what_sql_adds_up(book):
    for period in periods():
        for money in "€$":
            sums = added(of_period(book, period, Currency(money, 2)))
            about = {"money": money, "a": period.first, "b": period.last}
            for line, query in FLOWS.items():
                assert [sums.of(line)] == ask(query, **about), (line, period)
            by_hand = [ask(INVOICED % {"of": of}, **about)[0] for of in ("net", "tax_sum")]
            handed = [
                handed_over(of, period.last, money) - handed_over(of, period.before, money) for of in ("net", "tax_sum")
            ]
            assert sums.of("invoiced") == by_hand[0] + handed[0]
            assert sums.of("tax") == ask(TAX, **about)[0] + by_hand[1] + handed[1]
            for kind in ("fee", "carriage", "stall", "travel", "packaging"):
                assert [sums.of(f"spent-{kind}")] == ask(SPENT, kind=kind, **about)
            for kind in ("wood", "supplies", "labour", "overhead", "other"):
                line = f"cost-{kind}"
                assert [sums.of(line), sums.minutes.get(line, 0)] == grown("sold", period, money, kind), (line, period)
            for line in ("given", "gone", "again"):
                assert [sums.of(line), sums.minutes.get(line, 0)] == grown(line, period, money)


def test_years_from_the_sixth_of_april_are_what_sql_adds_up_between_those_days(db, at_random):
    """And each is its twelve months, from the 6th to the 5th."""
    april = Begins(4, 6)
    book, seen = ledger(the_workshop(), april), 0
    for year in (Period(year, begins=april) for year in YEARS):
        assert (year.first, year.last) == (date(year.year, 4, 6), date(year.year + 1, 4, 5))
        for money in "€$":
            months = [added(of_period(book, month, Currency(money, 2))) for month in year.months]
            whole = added(of_period(book, year, Currency(money, 2)))
            assert stock_at(book, year.last, Currency(money, 2)) == costs("stock", year.last, money)[0]
            for line, query in FLOWS.items():
                asked = ask(query, money=money, a=year.first, b=year.last)
                assert [whole.of(line)] == [sum(month.of(line) for month in months)] == asked, (line, year)
                seen += bool(asked[0])
    assert seen > 12 and years(book, TODAY) == [2026, 2025, 2024, 2023]


def test_the_stock_at_cost_is_what_sql_finds_in_stock_at_any_day(book):
    day = date(2023, 12, 31)
    while day < date(2026, 12, 1):
        for money in "€$":
            assert stock_at(book, day, Currency(money, 2)) == costs("stock", day, money)[0], day
        day += timedelta(days=23)


def test_the_pieces_in_stock_are_those_sql_finds_and_add_up_to_the_stock(book):
    for day in (date(2024, 12, 31), date(2025, 12, 31), TODAY):
        for table in pieces_in_stock(book, day):
            *rows, whole = table.rows
            money = table.currency.currency_symbol
            assert whole.cells[3].value == sum(row.cells[3].value for row in rows) == costs("stock", day, money)[0]
        query = f"SELECT COUNT(*) FROM listings_piece p WHERE p.made_on <= %(day)s AND {PLACES['stock']}"
        assert [Decimal(len(pieces_in_stock(book, day)[0].rows) - 1)] == ask(query, day=day)


def test_a_year_is_its_months_and_stock_is_carried_over_to_the_cent(book):
    for currency in (Currency("€", 2), Currency("$", 2)):
        for year in map(Period, YEARS):
            whole = added(of_period(book, year, currency))
            months = [added(of_period(book, month, currency)) for month in year.months]
            for line in whole.by_line:
                assert whole.of(line) == sum(month.of(line) for month in months)
            assert whole.earned.profit == sum(month.earned.profit for month in months)
            assert whole.earned.minutes == sum(month.earned.minutes for month in months)
            opening, closing = stock_at(book, year.before, currency), stock_at(book, year.last, currency)
            assert opening + whole.of("made") - whole.left_stock == closing


def test_what_a_page_shows_adds_up_as_it_stands_there(book):
    for year in map(Period, YEARS):
        for one in statements(book, year, TODAY):
            *months, whole = one.months.rows
            for column in range(1, 10):
                assert sum(row.cells[column].value for row in months) == whole.cells[column].value
            opening, *between, closing = [row.cells for row in one.stock.rows]
            for column in (1, 2):
                assert opening[column].value + sum(c[column].value for c in between) == closing[column].value
            came, materials, overhead, hours, selling, lost, profit = (c.value for c in whole.cells[1:8])
            assert came - materials - overhead - hours - selling - lost == profit == one.sums.earned.profit
