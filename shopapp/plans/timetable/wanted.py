"""Who wants a board made, as the pages of its timetable are told it: words, an opaque key, where to go from here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from shopapp.plans.agreeing import Unlike
from shopapp.plans.models import Plan


@dataclass(frozen=True)
class Making:
    """``plan`` is what is made, under ``key``; ``due`` when it is promised, if it is. ``home`` is the page of whoever
    wants it and ``home_words`` what that is called; ``home_for_all`` where it is not the owner's alone. ``to`` makes an
    address of a page about it: ``to("timetable")``, ``to("timetable_kept", pk)``; whoever opens a door of these pages
    gives each of them an address under the same name. ``closed`` says why nothing more is made for it. What was kept
    and ticked under the keys ``before`` counts: a plan's, for a job made of it. ``by_hand`` where it is
    handed over in person, so that no carrier's days count. ``others`` could be made with it,
    ``unlike`` says where its cut plan tells of its cuts otherwise."""

    label: str
    key: str
    plan: Plan
    home: str
    home_words: str
    to: Callable[..., str]
    due: date | None = None
    before: tuple[str, ...] = ()
    closed: str = ""
    home_for_all: bool = False
    by_hand: bool = False
    others: Callable[[], list[Other]] = field(default=lambda: [])
    unlike: Callable[[], Unlike | None] = lambda: None

    @property
    def keys(self) -> tuple[str, ...]:
        return (self.key, *self.before)

    @property
    def here(self) -> str:
        return self.to("timetable")


@dataclass(frozen=True)
class Other:
    """Something else that could be made in the same evenings."""

    key: str
    label: str
    plan: int
    by_hand: bool = False

    @property
    def board(self) -> dict:
        """As it is kept with a timetable."""
        kept = {"key": self.key, "label": self.label, "plan": self.plan}
        return {**kept, "by_hand": True} if self.by_hand else kept
