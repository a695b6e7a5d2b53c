"""Who wants wood, as the pages of promising are told it: words, an opaque key, and where to go from here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True)
class Wanted:
    """``label`` and ``key`` as a demand has them; ``home`` is the page of whoever wants the wood, ``here`` that of its
    wood, and ``bring_back`` makes the address where a piece of that mark is brought back; ``cut`` is where it is
    planned which board gives what, if it is. ``needs`` are board feet a wood, where they are known, ``remark`` what is
    to be said of them. ``closed`` says why no more wood is wanted, for a page; ``refuses`` asks for the same inside the
    transaction that would give it, so that nobody is given wood who gave up wanting it a moment before. ``over`` is
    what is said of what was taken once nothing is out any more: "used"."""

    label: str
    key: str
    home: str
    here: str
    bring_back: Callable[[str], str]
    needs: Mapping[str, Fraction] = field(default_factory=dict)
    remark: str = ""
    cut: str = ""
    closed: str = ""
    refuses: Callable[[], str] = lambda: ""
    not_whole: Callable[[str], str] = lambda mark: ""
    over: str = ""
