"""Who wants a shop book, as its pages are told it: whoever has boards cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import Plan


@dataclass(frozen=True)
class Binding:
    """``cutting`` is whose plan the book is of, under which key it and its cut plan are kept, and where to go from
    here. A timetable that was kept under one of the keys ``before`` counts: a plan's, for a job made of it."""

    cutting: Cutting
    before: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        return self.cutting.label

    @property
    def key(self) -> str:
        return self.cutting.key

    @property
    def plan(self) -> Plan:
        return self.cutting.plan

    @property
    def to(self) -> Callable[..., str]:
        return self.cutting.to

    @property
    def here(self) -> str:
        return self.to("book")
