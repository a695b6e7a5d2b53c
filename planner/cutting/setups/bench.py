"""What every set-up is worked out from, and how one is put together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from planner.cutting.setups.cautions import BY_HAND, CAUTIONS
from planner.cutting.setups.reading import Blank, CutStrip, CutWood
from planner.cutting.setups.terms import Cut, Setting, SetUp
from planner.cutting.setups.timing import minutes_of
from planner.measures import ZERO, Length
from planner.shop import Shop

MACHINES = {
    "rough": "crosscut saw",
    "joint": "jointer",
    "resaw": "band saw",
    "plane": "planer",
    "rip": "table saw, fence",
    "gauge": "planer or drum sander",
    "square": "crosscut sled, pencil mark",
    "part": "crosscut sled, stop",
}
BY_HAND_MACHINE = "another way"


@dataclass(frozen=True, slots=True)
class Bench:
    """The wood, the shop, its standard times, and the length of a row of tiles (nought where none is told)."""

    wood: CutWood
    shop: Shop
    times: Mapping[str, Fraction]
    row: Length = ZERO

    def length(self, units: int) -> Length:
        return self.wood.length(units)

    def says(self, units: int) -> str:
        return self.shop.says(self.length(units))

    def under(self, units: int) -> str:
        """What is told to be less than a limit: a shop that writes inches reads it in 64ths, never more than it is."""
        return self.shop.says(self._in_steps(units, floor))

    def over(self, units: int) -> str:
        """What is told to be more than a limit, in 64ths of an inch likewise, never less than it is."""
        return self.shop.says(self._in_steps(units, ceil))

    def _in_steps(self, units: int, rounded: Callable[[Fraction], int]) -> Length:
        exact = self.length(units)
        return Length.of_inches(Fraction(rounded(exact.inches * 64), 64)) if self.shop.unit == "in" else exact

    def of_blank(self, blank: Blank, what: str, gives: tuple[str, ...] = ()) -> Cut:
        """A rough length or layer, whole."""
        return Cut(
            what,
            blank.name,
            blank.wood,
            1,
            self.length(blank.length),
            self.length(blank.across),
            self.length(blank.thickness),
            gives=gives,
        )

    def of_strip(self, strip: CutStrip, what: str, width: int) -> Cut:
        """A strip, whole."""
        return Cut(
            what,
            strip.name,
            strip.wood,
            1,
            self.length(strip.length),
            self.length(width),
            self.length(strip.thickness),
        )

    def step(
        self,
        kind: str,
        cuts: list[Cut],
        count: int,
        *,
        settings: tuple[Setting, ...] = (),
        passes: int | None = None,
        notes: tuple[str, ...] = (),
        instead: str = "",
        bundle: int = 1,
        held: Length | None = None,
    ) -> SetUp:
        """A set-up, not yet numbered; ``count`` cuts or strips take its time."""
        by_hand = bool(instead)
        return SetUp(
            0,
            kind,
            BY_HAND_MACHINE if by_hand else MACHINES[kind],
            () if by_hand else settings,
            tuple(cuts),
            sum(cut.count for cut in cuts) if passes is None else passes,
            minutes_of(
                kind, 0 if by_hand else sum(s.what != "mark" for s in settings), count, self.times, by_hand=by_hand
            ),
            BY_HAND if by_hand else CAUTIONS[kind],
            notes,
            instead,
            bundle,
            held,
        )


def named(names: list[str]) -> str:
    """Names for a sentence: all of a few, else the first and how many more.

    >>> named(["A-1", "A-2", "B-1", "B-2"])
    'A-1, A-2, B-1 and B-2'
    """
    if len(names) > 6:
        return f"{', '.join(names[:5])} and {len(names) - 5} more"
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
