"""Whose time is logged, as the pages of the log are told of it: words, an opaque key, and where to go from here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Timed:
    """``label`` and ``key`` as the log knows them. ``record`` is the kept plan's, None without one: it says what is to
    be done and what that was thought to take. ``home`` is the page of whoever the work is for and ``home_words`` what
    that is called; ``home_for_all`` where it is not the owner's alone. ``to`` makes an address of a page about it:
    ``to("time")``, ``to("time_entry", pk)``, ``to("time_back", pk)``; whoever opens a door of these pages gives each of
    them an address under the same name. ``remark`` is said at the head of the page."""

    label: str
    key: str
    home: str
    home_words: str
    to: Callable[..., str]
    record: Mapping | None = None
    home_for_all: bool = False
    remark: str = ""
    elsewhere: list[tuple[str, str]] = field(default_factory=list)

    @property
    def here(self) -> str:
        return self.to("time")
