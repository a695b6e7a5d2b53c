"""What a year's paper says: every table of the year, word for word as the pages show it, and its drawings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from shopapp.books import charts, listed, statement
from shopapp.books.pages import PARTS, Read
from shopapp.books.tables import Table
from shopapp.workshop.models import Workshop

_WHOLE = 16


def said(read: Read, shop: Workshop, today: date) -> dict[str, Any]:
    """As many queries as the sheet on the screen."""
    found = statement.statements(read.book, read.period, today)
    channels = sorted(pk for pk, one in read.book.channels.items() if one.person_id is not None)
    return {
        "title": f"The books of {read.period.words}",
        "shop": shop.name,
        "on": today.isoformat(),
        # Whose shops may be named in it.
        "channels": channels,
        "sections": [one for one in _sections(read, found, today) if one["tables"]],
    }


def _sections(read: Read, found: Sequence[statement.Statement], today: date) -> list[dict[str, Any]]:
    return [
        *(section for one in found for section in _of_year(one, several=len(found) > 1)),
        _section("Finished pieces in stock", listed.pieces_in_stock(read.book, read.period.last)),
        *(_section(part.heading, part.tables(read), part.words) for part in PARTS.values()),
    ]


def _of_year(one: statement.Statement, several: bool) -> Iterable[dict[str, Any]]:
    drawn = charts.of_statement(one, on_paper=True)
    of = f", in {one.currency.currency_symbol}" if several else ""
    yield _section(f"What {one.period.words} brought{of}", [one.lines, one.stock])
    yield _section(f"Where each unit of money went{of}", [drawn.goes], drawings=[("", drawn.shares)])
    if one.months is not None:
        # Of a year nothing is written of there is nothing to draw.
        drawings = [] if one.is_empty else [("", drawn.months), (charts.STOCK, drawn.stock)]
        yield _section(f"Month by month{of}", [one.months], drawings=drawings)


def _section(
    heading: str, tables: Iterable[Table], words: str = "", drawings: Iterable[tuple[str, charts.Drawn | None]] = ()
) -> dict[str, Any]:  # fmt: skip
    return {
        "heading": heading,
        "words": words,
        # Each under its words, where it is not what the heading says.
        "drawings": [[above, one.wide] for above, one in drawings if one is not None],
        "tables": [_table(table) for table in tables],
    }


def _table(table: Table) -> dict[str, Any]:
    return {
        "name": table.name,
        "words": table.words,
        "heads": [[head.words, head.is_number] for head in table.heads],
        # What has no more rows than a year has months, and their sum, stays on one side.
        "whole": len(table.rows) <= _WHOLE,
        "rows": [[row.strong, [cell.text for cell in row.cells]] for row in table.rows],
    }
