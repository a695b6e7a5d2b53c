"""Who wants boards cut, as the pages of the cut plan are told it: words, an opaque key, and where to go from here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopapp.plans.agreeing import Unlike
from shopapp.plans.models import Plan


@dataclass(frozen=True)
class Cutting:
    """``label`` and ``key`` as the rack knows them (a demand's); ``plan`` is what is cut. ``home`` is the page of
    whoever wants it and ``home_words`` what that is called; ``home_for_all`` where it is not the owner's alone. ``to``
    makes an address of a page about it: ``to("cut")`` is the cut plan's own, ``to("cut_sheet", pk)`` that of a kept
    one; whoever opens a door of these pages gives each of them an address under the same name. ``closed`` says why
    nothing more is cut for it; ``refuses`` asks for the same inside the transaction that would keep a plan. ``over`` is
    what is said of its boards once nothing is out any more, ``unlike`` says where its evenings tell of its
    cuts otherwise."""

    label: str
    key: str
    plan: Plan
    home: str
    home_words: str
    to: Callable[..., str]
    closed: str = ""
    refuses: Callable[[], str] = lambda: ""
    home_for_all: bool = False
    over: str = ""
    unlike: Callable[[], Unlike | None] = lambda: None

    @property
    def here(self) -> str:
        return self.to("cut")
