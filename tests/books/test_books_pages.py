"""What the pages of the books show: figures that open their entries, tables that come back equal from their files."""

from __future__ import annotations

import io
import secrets
from datetime import date
from decimal import Decimal
from functools import cache
from urllib.parse import parse_qs, urlsplit

import pikepdf
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import resolve, reverse
from django.utils import timezone

from planner.measures import round_half_up
from shopapp.books import pages, views
from shopapp.books.entries import ledger
from shopapp.books.listed import as_table, listed, pieces_in_stock
from shopapp.books.models import YearPaper
from shopapp.books.onpaper import part
from shopapp.books.onpaper.actions import ask_for_year
from shopapp.books.pages import GOES, LISTS, OF_YEAR, PARTS, Asked, Read
from shopapp.books.period import USUAL, Period
from shopapp.books.statement import statements
from shopapp.books.sums import currencies
from shopapp.books.tables import Table
from shopapp.common import tables
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.models import Job
from shopapp.listings.models import Channel, Piece
from shopapp.people.models import Member, Person
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.book_pages import texts_of
from tests.support.books_at_random import RandomBooks
from tests.support.pieces import piece as numbered
from tests.support.rack import boards, glue

YEAR = Period(2025)
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
    numbered(owner, work.kept(owner))
    return the_workshop()


@pytest.fixture
def read_once(monkeypatch, shop):
    """Where nothing is written between one page and the next, all are told from the same ledgers, read once."""
    read = cache(lambda begins: ledger(shop, begins))
    for door in (pages, views):
        monkeypatch.setattr(door, "ledger", lambda shop, begins=USUAL: read(begins))


# What opens the list of what it is a part of, and is no sum of anything itself.
RATES = ("An hour earned", "Of what came in", "Of what was paid")


def tables_of(context) -> list[Table]:
    """Every table a page of the books shows."""
    found = [*context.get("stock", ()), *(table for _, shown in context.get("parts", ()) for table in shown)]
    for one in context["found"]:
        if isinstance(one, Table):
            found.append(one)
        elif "table" in one:
            found.append(one["table"])
        else:
            book = one["book"]
            found += [book.lines, book.stock, *([book.months] if book.months else []), one["drawings"].goes]
    return found


class Opening:
    """What an address of the books lists, without a request for each: of every list the page itself is asked once."""

    def __init__(self, shop) -> None:
        self.shop, self.reads, self.found = shop, {}, {}

    def read(self, period: Period) -> Read:
        if period not in self.reads:
            read = self.reads[period] = Read(self.shop, period, period.last)
            if (first := next(iter(self.reads.values()))) is not read:
                read.__dict__ |= {"book": first.book, "moves": first.moves}
        return self.reads[period]

    def sums(self, address: str) -> dict[str, Decimal]:
        """By kind of column what its rows come to, the row of their sum left out."""
        if address not in self.found:
            self.found[address] = self._sums(address)
        return self.found[address]

    def _sums(self, address: str) -> dict[str, Decimal]:
        asked = urlsplit(address)
        names = {name: values[0] for name, values in parse_qs(asked.query).items()}
        to = resolve(asked.path)
        if to.url_name == "stock":
            # Its sums are one a currency; how many there are is the same whichever they are costed in.
            own = pieces_in_stock(self.read(YEAR).book, date.fromisoformat(names["on"]))[0]
            return {"count": len(own.rows) - 1}
        period = Period(to.kwargs["year"], int(names.get("month", 0)))
        read = self.read(period)
        if to.url_name == "entries":
            currency = next(one for one in currencies(read.book) if one.currency_symbol == names["in"])
            table = as_table(listed(read.book, to.kwargs["what"], period, currency))
            rows = table.rows
        else:
            table = LISTS[to.kwargs["part"]](read, to.kwargs["what"], Asked(names, names.get("in", "")))
            *rows, whole = table.rows
            assert whole.strong
        sums = {
            head.kind: sum((row.cells[at].value or 0 for row in rows), 0)
            for at, head in enumerate(table.heads) if head.is_number
        }  # fmt: skip
        if to.url_name == "rows":
            shown = {head.kind: whole.cells[at].value for at, head in enumerate(table.heads) if head.is_number}
            assert shown == sums, address
        return sums


def test_every_figure_of_every_page_opens_rows_that_add_up_to_it(owner_client, shop, read_once):
    """Every amount, hour, board foot and count that is not nought, of the year, a month and all pages beside them."""
    opening, opened, asked, kinds = Opening(shop), 0, set(), set()
    this_year = f"/books/{timezone.localdate().year}"
    all_pages = [page for page in PAGES if "entries" not in page]
    for address in (*all_pages, f"{this_year}/wood/", f"{this_year}/plans/"):
        for table in tables_of(owner_client.get(address).context):
            for row in table.rows:
                links = {cell.to for cell in row.cells if cell.kind in ("money", "wood")}
                for head, cell in zip(table.heads, row.cells, strict=True):
                    if not cell.is_number or not cell.value or head.name == "number":
                        continue
                    what = (address, table.title, row.cells[0].value, head.words)
                    assert cell.to, what
                    if head.words in RATES:
                        assert cell.to in links, what
                        continue
                    sums, kind = opening.sums(cell.to), head.kind
                    if urlsplit(cell.to).path == reverse("books:stock") and kind == "money":
                        day = date.fromisoformat(parse_qs(urlsplit(cell.to).query)["on"][0])
                        stock = pieces_in_stock(opening.read(YEAR).book, day)
                        assert cell.value in [one.rows[-1].cells[-1].value for one in stock], what
                    else:
                        assert sums[kind] in (cell.value, -cell.value), what
                    opened += 1
                    path = urlsplit(cell.to).path
                    kinds.add(kind)
                    if path not in asked:
                        asked.add(path)
                        assert owner_client.get(cell.to).status_code == 200
    assert opened > 700 and kinds == {"money", "hours", "wood", "count"}
    assert {resolve(path).kwargs.get("part", resolve(path).url_name) for path in asked} == {*LISTS, "entries", "stock"}


def test_a_list_comes_back_from_its_file_and_no_list_is_where_there_is_none(owner_client, shop, read_once):
    for room, what in (("earned", "profit"), ("wood", "closing"), ("wood", "shelf-closing"), ("plans", "cost-actual"),
                       ("money", "owed"), ("pieces", "made"), ("stock", "cost")):  # fmt: skip
        page = owner_client.get(f"/books/2025/{room}/entries/{what}/")
        read = tables.read(owner_client.get(f"/books/2025/{room}/entries/{what}.csv").content)
        assert len(read) == len(page.context["table"].rows), (room, what)
        assert owner_client.get(f"/books/2025/{room}/entries/nonsense/").status_code == 404
    for odd in ("?of=%00", "?by=x", "?job=9999999999999999999999", "?supply=x", "?on=x", "?piece=-1", "?account='"):
        for room, what in (("earned", "profit"), ("plans", "more"), ("wood", "shelf-used"), ("stock", "cost"),
                           ("money", "advance")):  # fmt: skip
            assert owner_client.get(f"/books/2025/{room}/entries/{what}/{odd}").status_code in (200, 404)


@pytest.mark.parametrize("key", TABLES)
def test_a_table_comes_back_from_its_file_as_it_stands_on_the_page(owner_client, shop, read_once, key):
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


def test_a_year_is_a_tagged_paper_that_says_what_the_page_says_on_a4_and_letter(owner_client, owner, shop):
    """Asked for twice it is made once; whoever it names and is forgotten takes it with them."""
    for year, sheet in ((2023, "letter"), (2025, "a4"), (2025, "a4"), (2025, "nonsense")):
        asked = {"sheet": sheet, "form_key": secrets.token_urlsafe(24)}
        assert owner_client.post(f"/books/{year}/paper/", asked).url == f"/books/{year}/print/"
    assert "is being made as a PDF" in owner_client.get("/books/2025/print/").content.decode()
    run_waiting_tasks()
    assert [(one.year, one.sheet) for one in YearPaper.objects.order_by("pk")] == [(2023, "letter"), (2025, "a4")]
    for paper, sides in zip(YearPaper.objects.order_by("pk"), ((612, 792), (595, 842)), strict=True):
        page = owner_client.get(f"/books/{paper.year}/print/")
        to = reverse("books:paper_pdf", args=[paper.year, paper.pk])
        assert to in page.content.decode()
        data = b"".join(owner_client.get(to).streaming_content)
        with pikepdf.open(io.BytesIO(data)) as pdf:
            root = pdf.Root
            assert root.MarkInfo.Marked and str(root.Lang) == "en"
            assert str(pdf.docinfo.Title).startswith(f"The books of {paper.year}, ")
            assert {tuple(round(float(x)) for x in one.MediaBox[2:]) for one in pdf.pages} == {sides}
    words = "".join(texts_of(data)[0].split())
    for table in tables_of(page.context):
        for row in table.rows:
            for cell in row.cells:
                if cell.kind == "money" and cell.value:
                    assert "".join(cell.text.split()) in words, (table.title, cell.text)
    channel = Channel.objects.filter(kind="shop").first()
    person = Person.objects.create(name="Sedge Marram")
    Channel.objects.filter(pk=channel.pk).update(person=person)
    assert part.out(person) == {}
    ask_for_year(who=owner, year=2025, sheet="a4")
    assert len(part.out(person)["papers"]) == 1 and len(part.forget(person, "somebody")) == 1
    assert part.out(person) == {} and not YearPaper.objects.filter(year=2025, document=None).exists()


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
    assert len(many) == len(few) <= (48 if "print" in address else 30)


def test_the_year_begins_on_the_day_that_was_chosen_and_every_page_says_so(owner_client, shop):
    typed = {"day": "6", "month": "4", "edit_version": "1", "form_key": secrets.token_urlsafe(24)}
    for bad in ({"day": "31"}, {"month": "13"}, {"day": ""}):
        assert owner_client.post("/books/begins/", {**typed, **bad}).status_code == 422
    assert owner_client.post("/books/begins/", typed).url == "/books/"
    assert owner_client.post("/books/begins/", {**typed, "form_key": secrets.token_urlsafe(24)}).status_code == 409
    page = owner_client.get("/books/2025/").content.decode()
    assert "What 2025/26 brought" in page and "The year begins on 6 April" in page and ">6 Apr</a>" in page
    month = owner_client.get("/books/2025/9/").content.decode()
    assert "What 6 Dec to 5 Jan 2026 brought" in month
    for address in PAGES:
        assert owner_client.get(address).status_code == 200, address
    assert owner_client.get("/books/2025/months.csv").headers["Content-Disposition"].endswith('months-2025-26.csv"')


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
def test_whatever_is_asked_for_there_is_an_answer(owner_client, shop, read_once, odd):
    for address, asked in (
        ("/books/stock/", "on"), ("/books/stock.csv", "on"), ("/books/2025/entries/sold/", "month"),
        ("/books/2025/entries/sold/", "page"), ("/books/2025/entries/sold/", "in"),
        ("/books/2025/wood/entries/used/", "wood"), ("/books/2025/money/entries/sold/", "in"),
    ):  # fmt: skip
        assert owner_client.get(address, {asked: odd}).status_code in (200, 404)
