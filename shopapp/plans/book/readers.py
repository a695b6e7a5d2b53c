"""What the page of the shop books shows: what a new one would be bound from, and those that were asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopapp.common.documents import paper_state, paper_states
from shopapp.common.tasks import TaskState
from shopapp.plans.models import ShopBook

from .bound import Bound
from .wanted import Binding

MOST_BOOKS = 50
NOT_MADE = "The book was not made. Ask for it again."


@dataclass(frozen=True)
class BookLine:
    """A book that was asked for; ``stands`` where one asked for now, on that paper, would be the same,
    ``before_gauged`` where a tile was gauged since."""

    book: ShopBook
    state: TaskState
    stands: bool
    to_state: str
    to_pdf: str
    before_gauged: bool = False


def books_of(binding: Binding, bound: Bound) -> list[BookLine]:
    """The newest first. At most two queries."""
    books = _rows(binding)[:MOST_BOOKS]
    now = {bound.fingerprint(paper) for paper in ShopBook.Paper.values}
    lines = _lines(binding, books, paper_states(books, NOT_MADE), now)
    gauged = bound.gauged
    return [replace(line, before_gauged=gauged is not None and line.book.asked_at < gauged.at) for line in lines]


def book_line(binding: Binding, book: ShopBook, now: Sequence[str] = ()) -> BookLine:
    """One of them, for the page that waits. At most one query."""
    return _lines(binding, [book], [paper_state(book, NOT_MADE)], set(now))[0]


def _rows(binding: Binding):
    rows = ShopBook.objects.filter(key=binding.key, plan=binding.plan)
    return rows.select_related("asked_by", "sheet", "timetable").defer(
        "seen", "sheet__form", "sheet__set_ups", "sheet__pieces", "timetable__form", "timetable__advice"
    )


def _lines(binding: Binding, books, states: Sequence[TaskState], now: set[str]) -> list[BookLine]:
    return [
        BookLine(book, state, book.sha256 in now, binding.to("book_state", book.pk), binding.to("book_pdf", book.pk))
        for book, state in zip(books, states, strict=True)
    ]
