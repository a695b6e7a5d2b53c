"""What the pages of the books show: figures that open their entries, tables that come back equal from their files."""

from __future__ import annotations

import re
from decimal import Decimal
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planner.measures import round_half_up
from shopapp.books.entries import Currency, ledger
from shopapp.books.listed import listed
from shopapp.books.pages import GOES, OF_YEAR, PARTS
from shopapp.books.paid import entries_table, paid_rows
from shopapp.books.period import Period
from shopapp.books.statement import statements
from shopapp.common import tables
from shopapp.jobs.models import Job
from shopapp.listings.models import Piece
from shopapp.people.models import Member
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.books_at_random import RandomBooks
from tests.support.rack import boards, glue

YEAR, EURO = Period(2025), Currency("€", 2)
TABLES = [*OF_YEAR, GOES, *(key for part in PARTS.values() for key in part.keys)]
PAGES = [
    "/books/2025/", "/books/2025/12/", "/books/2025/print/", "/books/stock/?on=2025-12-31",
    *(f"/books/2025/{part}/" for part in PARTS), *(f"/books/2025/{part}/?month=12" for part in PARTS),
    "/books/2025/entries/profit/", "/books/2025/wood/entries/bought/", "/books/2025/money/entries/sold/",
]  # fmt: skip


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def shop(owner):
    RandomBooks(4, pieces=24)
    one = boards(owner, 2, wood="walnut-black")[0]
    work.give(owner, work.job(owner), "take", one)
    glue(owner)
    return the_workshop()


def amount_of(shown: str) -> Decimal:
    return Decimal(re.sub(r"[^0-9.−]", "", shown).replace("−", "-"))


def links_of(page: str, kind: str) -> list[tuple[str, Decimal]]:
    """What every linked amount of a page leads to, and what it says."""
    found = re.findall(rf'<a href="([^"]*/{kind}/[^"]*)">([^<]*)</a>', page)
    return [(unescape(address), amount_of(shown)) for address, shown in found]


def test_every_amount_of_a_year_and_a_month_opens_entries_that_add_up_to_it(owner_client, shop):
    book, opened, asked = ledger(shop), 0, set()
    rows = paid_rows(book)
    for address in ("/books/2025/", "/books/2025/12/", "/books/2025/money/"):
        page = owner_client.get(address).content.decode()
        for to, shown in dict.fromkeys(links_of(page, "entries/[a-z-]+")):
            found = urlsplit(to)
            query = {name: values[0] for name, values in parse_qs(found.query).items()}
            what, period = found.path.split("/")[-2], Period(2025, int(query.get("month", 0)))
            currency = Currency(query["in"], 2)
            if "/money/" in found.path:
                total = entries_table(rows, what, period, currency).rows[-1].cells[2].value
            else:
                total = listed(book, what, period, currency).total
            assert total in (shown, -shown), to
            opened += 1
            if what in ("sold", "making", "profit", "came-in") and what not in asked and currency == EURO:
                # The page itself, of some of them once.
                asked.add(what)
                table = owner_client.get(to).context["table"]
                column = next(at for at, head in enumerate(table.heads) if head.words == "Amount")
                told = [row.cells[column].value for row in table.rows if not row.strong]
                assert sum(told, Decimal(0)) == total, to
    assert opened > 60


def test_the_stock_opens_the_pieces_it_is_made_of(owner_client, shop):
    page = owner_client.get("/books/2025/").content.decode()
    for to, shown in re.findall(r'<a href="(/books/stock/[^"]*)">([^<]*)</a>', page):
        found = owner_client.get(to).context["found"]
        assert amount_of(shown) in [table.rows[-1].cells[-1].value for table in found]


@pytest.mark.parametrize("key", TABLES)
def test_a_table_comes_back_from_its_file_as_it_stands_on_the_page(owner_client, shop, key):
    read = tables.read(owner_client.get(f"/books/2025/{key}.csv").content)
    page = next(
        (f"/books/2025/{part}/" for part, one in PARTS.items() if key in one.keys), "/books/2025/"
    )  # fmt: skip
    context = owner_client.get(page).context
    if key in OF_YEAR:
        shown = [getattr(one["book"], OF_YEAR[key]) for one in context["found"]]
    elif key == GOES:
        shown = [one["drawings"].goes for one in context["found"]]
    else:
        shown = [one["table"] for one in context["found"] if one["table"].key == key]
    assert len(read) == sum(len(table.rows) for table in shown) > 0
    rows = [(table, row) for table in shown for row in table.rows]
    for told, (table, row) in zip(read, rows, strict=True):
        for head, cell in zip(table.heads, row.cells, strict=True):
            text = told[head.name or head.words.lower()]
            if cell.value is None:
                assert text == ""
            elif head.kind == "money":
                assert Decimal(text) == cell.value and told["currency"] == table.currency.currency_symbol
            elif head.kind == "hours":
                assert Decimal(text) == round_half_up(cell.hours, 4)
            elif head.is_number:
                assert abs(Decimal(text) - Decimal(float(cell.value)) * (100 if head.kind == "share" else 1)) < 1
            else:
                assert text == str(cell.value)


def test_a_title_that_looks_like_a_formula_is_a_text_in_every_file(owner_client, shop):
    job = Job.objects.create(label="=1+1", kind="sale", state="finished")
    Piece.objects.create(number=999, job=job, title="=HYPERLINK(1)", made_on=YEAR.first)
    data = owner_client.get("/books/stock.csv?on=2025-12-31").content
    assert b"'=HYPERLINK(1)" in data and b'"=' not in data
    assert "=HYPERLINK(1)" in {row["piece"] for row in tables.read(data)}
    assert b'"=1' not in owner_client.get("/books/2025/plans.csv").content


@pytest.mark.parametrize("address", PAGES)
def test_a_page_asks_as_often_with_many_rows_as_with_few(owner_client, shop, address):
    with CaptureQueriesContext(connection) as few:
        assert owner_client.get(address).status_code == 200
    RandomBooks.more(5)
    with CaptureQueriesContext(connection) as many:
        owner_client.get(address)
    assert len(many) == len(few) <= (46 if "print" in address else 28)


def test_two_currencies_stand_apart_and_are_never_added(owner_client, shop):
    found = statements(ledger(shop), YEAR, YEAR.last)
    assert [one.currency.currency_symbol for one in found] == ["€", "$"]
    page = owner_client.get("/books/2025/").content.decode()
    assert "In €" in page and "In $" in page


def test_it_says_which_days_count_and_that_it_is_no_tax_return(owner_client, shop):
    page = owner_client.get("/books/2025/").content.decode()
    assert "no tax return" in page and "on the day of its sale" in page
    assert "the day it is handed over" in owner_client.get("/books/2025/money/").content.decode()


@pytest.mark.parametrize("odd", ["x", "-1", "0", "13", "9" * 40, "NaN", "a\x00b", "٣", "🪵", "2025-02-30", "'"])
def test_whatever_is_asked_for_there_is_an_answer(owner_client, shop, odd):
    for address, asked in (
        ("/books/stock/", "on"), ("/books/stock.csv", "on"), ("/books/2025/entries/sold/", "month"),
        ("/books/2025/entries/sold/", "page"), ("/books/2025/entries/sold/", "in"),
        ("/books/2025/wood/entries/used/", "wood"), ("/books/2025/money/entries/sold/", "in"),
    ):  # fmt: skip
        assert owner_client.get(address, {asked: odd}).status_code in (200, 404)
