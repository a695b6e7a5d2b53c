"""Designs, woods and channels each add up to the profit; what came in, is owed or was paid early balances by SQL."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.db import connection

from shopapp.books.earned import earned_tables
from shopapp.books.entries import Currency, ledger
from shopapp.books.paid import CAME, SOLD, how_table, money_table, paid_rows, standing_at
from shopapp.books.period import Period
from shopapp.books.sums import added, of_period
from shopapp.workshop.readers import the_workshop
from tests.support.books_at_random import RandomBooks

EURO, DOLLAR = Currency("€", 2), Currency("$", 2)
TODAY = date(2026, 11, 29)
SEEDS = (5, 6)
IN_PAYMENTS = """SELECT SUM(p.amount) FROM payments_payment p JOIN payments_invoice i ON i.id = p.invoice_id
    WHERE i.currency_symbol = %(money)s AND p."on" <= %(day)s"""
ON_THE_SPOT = """SELECT COALESCE((SELECT SUM(gross) FROM listings_sale WHERE account_key = ''
    AND currency_symbol = %(money)s AND "on" <= %(day)s), 0) - COALESCE((SELECT SUM(c.back) FROM listings_salechange c
    JOIN listings_sale s ON s.id = c.sale_id WHERE s.account_key = '' AND s.currency_symbol = %(money)s
    AND c."on" <= %(day)s), 0)"""


@pytest.fixture(scope="module")
def at_random(rows_of_this_file):
    for seed in SEEDS:
        RandomBooks(seed)


@pytest.fixture
def book(db, at_random):
    return ledger(the_workshop())


def ask(query: str, **given: object) -> Decimal:
    with connection.cursor() as cursor:
        cursor.execute(query, {name: str(value) for name, value in given.items()})
        return Decimal(str(cursor.fetchone()[0] or 0)).quantize(Decimal("0.01"))


def test_designs_woods_and_channels_each_add_up_to_the_profit_of_the_year(book):
    for currency in (EURO, DOLLAR):
        for period in (Period(2024), Period(2025), Period(2026)):
            earned = added(of_period(book, period, currency)).earned
            for table in earned_tables(book, period, currency):
                *rows, whole = [[cell.value for cell in row.cells] for row in table.rows]
                for column in (2, 3, 4, 6):
                    assert sum(row[column] for row in rows) == whole[column]
                assert (whole[2], whole[4], whole[6]) == (earned.income, earned.minutes, earned.profit)


def test_what_came_in_is_what_was_paid_on_invoices_and_on_the_spot(book):
    rows = paid_rows(book)
    for currency in (EURO, DOLLAR):
        for year in (2024, 2025, 2026):
            day = Period(year).last
            came = sum(row.amount for row in rows if row.way == CAME and row.currency == currency and row.on <= day)
            about = {"money": currency.currency_symbol, "day": day}
            assert came == ask(IN_PAYMENTS, **about) + ask(ON_THE_SPOT, **about)
            year_s = money_table(rows, Period(year), currency, TODAY).rows[-1].cells[2].value
            assert how_table(rows, Period(year), currency).rows[-1].cells[1].value == year_s


def test_what_is_owed_and_paid_early_makes_the_difference_between_sold_and_paid(book):
    """Sold less what came in is what is owed more, less what is paid in advance more; to the cent, every month."""
    rows = paid_rows(book)
    for currency in (EURO, DOLLAR):
        for year in (2024, 2025, 2026):
            for period in (Period(year), *Period(year).months):
                mine = [row for row in rows if row.currency == currency and period.holds(row.on)]
                sold, came = (sum((row.amount for row in mine if row.way == way), Decimal(0)) for way in (SOLD, CAME))
                before, after = (standing_at(rows, day, currency) for day in (period.before, period.last))
                grown = [sum(x.values()) - sum(y.values()) for x, y in ((after.owed, before.owed),
                                                                        (after.advance, before.advance))]  # fmt: skip
                assert sold - came == grown[0] - grown[1]
