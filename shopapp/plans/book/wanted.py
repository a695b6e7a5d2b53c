"""Who wants a shop book, as its pages are told it: words, an opaque key, and where to go from here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopapp.plans.models import Plan


@dataclass(frozen=True)
class Binding:
    """``plan`` is what the book is of, under ``key``. ``home`` is the page of whoever wants it and ``home_words`` what
    that is called; ``home_for_all`` where it is not the owner's alone. ``to`` makes an address of a page about it:
    ``to("book")``, ``to("book_pdf", pk)``, and those of its cut plan and timetable, ``to("cut")``, ``to("timetable")``;
    whoever opens a door of these pages gives each of them an address under the same name. A timetable that was kept
    under one of the keys ``before`` counts: a plan's, for a job made of it."""

    label: str
    key: str
    plan: Plan
    home: str
    home_words: str
    to: Callable[..., str]
    before: tuple[str, ...] = ()
    home_for_all: bool = False

    @property
    def here(self) -> str:
        return self.to("book")
