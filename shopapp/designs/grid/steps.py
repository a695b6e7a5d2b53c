"""Corrections of a grid as a maker makes them, one after the other, on their way through page and address.

What was corrected is carried as one line of short words, "ar_n4.0_x3.5", from which the whole place of the grid is
worked out anew each time. So a page without scripts, a page with them and the row that is kept all say the same, the
last correction can be taken back, and nothing needs to be written until the grid is kept.

    o1              another reading: the first runner-up (o0 is the best one)
    at dt           a row added at the top, one dropped; likewise r(ight), b(ottom), l(eft)
    n4.-1           nudged so many quarters of a pixel to the right and down
    s4.-1           its right edge moved so many quarters to the right, its bottom edge so many down: wider squares
    x3.5            background here: row 3, column 5, counted from nought
    z               all of it set aside, back to the start; that can be taken back like any other
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from planner.errors import PlannerError

MOST_STEPS = 300
# An address longer than this is cut off by servers.
MOST_LETTERS = 3000
QUARTERS = 4
_STEP = re.compile(
    r"z|o(?P<other>\d{1,2})|(?P<act>[ad])(?P<side>[trbl])"
    r"|(?P<move>[ns])(?P<right>-?\d{1,6})\.(?P<down>-?\d{1,6})|x(?P<row>\d{1,3})\.(?P<column>\d{1,3})",
    re.ASCII,
)
SIDES = {"t": "top", "r": "right", "b": "bottom", "l": "left"}
_NAMES = {
    "t": ("row", "at the top"),
    "r": ("column", "at the right"),
    "b": ("row", "at the bottom"),
    "l": ("column", "at the left"),
}
# An edge moves across itself only.
EDGES = {
    "right": "The right edge moves to the left and to the right; choose the bottom edge to move up and down.",
    "bottom": "The bottom edge moves up and down; choose the right edge to move to the left and to the right.",
}
WAYS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


class NotSteps(PlannerError):
    """The line that carries the corrections does not say any."""

    def __init__(self) -> None:
        super().__init__("The corrections that came with this page cannot be read.", mend="Make them once more.")


@dataclass(frozen=True)
class Base:
    """What corrections start from: a place on the picture, whether ruled lines run between its cells, the stored
    grid that was read there if there is one, background already changed by hand, and ``fixed`` for a grid that was
    reduced from a picture, whose rows are not to be found on it. ``sides`` are the rows and columns that it has more
    or fewer than the stored grid on each side, ``differs`` in what another reading is not as the best."""

    lattice: object
    lines: bool = False
    image: object = None
    taps: tuple[tuple[int, int], ...] = ()
    fixed: bool = False
    sides: Mapping[str, int] = field(default_factory=dict)
    differs: str = ""


@dataclass(frozen=True)
class Place:
    """Where the cells lie after all corrections, and what these were."""

    base: Base
    lattice: object
    other: int | None = None
    # Rows and columns more (or fewer) on each side; quarters of a pixel to the right and down.
    sides: dict[str, int] = field(default_factory=dict)
    right: int = 0
    down: int = 0
    # Quarters of a pixel that its right edge and its bottom edge were moved by themselves.
    wider: int = 0
    deeper: int = 0
    # Every cell tapped, in rows and columns as they now count; the last ``tapped`` of them since the start.
    taps: tuple[tuple[int, int], ...] = ()
    tapped: int = 0

    @property
    def shifted(self) -> bool:
        """Whether its lines lie elsewhere on the picture than at the start; back and forth is nowhere."""
        return bool(self.right or self.down or self.wider or self.deeper)

    @property
    def moved(self) -> bool:
        """The same, or whether there are rows or columns more or fewer."""
        return self.shifted or any(self.sides.values())

    @property
    def from_stored(self) -> dict[str, int]:
        """Rows and columns more on each side, by its name, than the stored grid has that it starts from."""
        more = {name: self.sides.get(side, 0) + self.base.sides.get(name, 0) for side, name in SIDES.items()}
        return {name: count for name, count in more.items() if count}

    @property
    def new_taps(self) -> tuple[tuple[int, int], ...]:
        return self.taps[len(self.taps) - self.tapped :]

    def words(self) -> list[str]:
        """What was changed, in words, for the page and for the row that is kept."""
        said = []
        if self.other is not None:
            lattice = self.base.lattice
            said.append(f"another reading taken, {lattice.rows} rows of {lattice.columns}")
        for side, count in self.sides.items():
            if count:
                name, where = _NAMES[side]
                number = "one" if abs(count) == 1 else str(abs(count))
                name += "s" if abs(count) > 1 else ""
                said.append(f"{number} {name} {'more' if count > 0 else 'fewer'} {where}")
        ways = [*_way(self.right, "to the right", "to the left"), *_way(self.down, "down", "up")]
        if ways:
            said.append(f"moved {' and '.join(ways)}")
        said += [f"right edge moved {way}" for way in _way(self.wider, "to the right", "to the left")]
        said += [f"bottom edge moved {way}" for way in _way(self.deeper, "down", "up")]
        if self.tapped:
            places = [f"row {row + 1}, column {column + 1}" for row, column in self.new_taps[:12]]
            more = f" and {self.tapped - 12} more" if self.tapped > 12 else ""
            said.append(f"background changed at {'; '.join(places)}{more}")
        return said

    @property
    def is_untouched(self) -> bool:
        return self.other is None and not self.words()

    @property
    def made(self) -> str:
        """How the grid came about, as KeptGrid.MADE names it."""
        if self.moved or self.tapped:
            return "corrected"
        return "read" if self.other is None else "other"


def _way(quarters: int, forth: str, back: str) -> list[str]:
    return [f"{abs(quarters) / QUARTERS:g} px {forth if quarters > 0 else back}"] if quarters else []


def split(line: str) -> list[str]:
    """The single corrections of a line. Raises NotSteps."""
    steps = line.split("_") if line else []
    if len(line) > MOST_LETTERS or not all(_STEP.fullmatch(step) for step in steps):
        raise NotSteps
    return steps


def join(steps: Sequence[str]) -> str:
    return "_".join(steps)


def step_asked(asked: str, by: str, part: str, pitch: float) -> str:
    """The correction a button asks for: "left" with ``by`` one of "px", "quarter", "tenth" moves all lines, or, with
    ``part`` "right" or "bottom", that edge alone; anything but a way is a correction already."""
    if asked not in WAYS:
        return asked
    right, down = WAYS[asked]
    far = {"quarter": 1, "tenth": max(1, round(pitch * QUARTERS / 10))}.get(by, QUARTERS)
    if part in EDGES and (right if part == "bottom" else down):
        raise PlannerError(EDGES[part])
    return f"{'s' if part in EDGES else 'n'}{right * far}.{down * far}"


def replay(start: Base, readings: Sequence[Base], steps: Sequence[str]) -> Place:
    """The place after ``steps``. Raises NotSteps, or the planner's words where one of them cannot be taken."""
    if len(steps) > MOST_STEPS:
        raise PlannerError(
            f"There are {MOST_STEPS} corrections already.", mend="Keep this grid, then go on correcting it."
        )
    place = Place(start, start.lattice, taps=start.taps)
    for step in steps:
        found = _STEP.fullmatch(step)
        if found is None:
            raise NotSteps
        place = Place(start, start.lattice, taps=start.taps) if step == "z" else _taken(place, found, readings)
    return place


def _taken(place: Place, step: re.Match[str], readings: Sequence[Base]) -> Place:
    if step["other"]:
        if int(step["other"]) >= len(readings):
            raise NotSteps
        other = readings[int(step["other"])]
        return Place(other, other.lattice, other=int(step["other"]), taps=other.taps)
    if step["row"]:
        tap = (int(step["row"]), int(step["column"]))
        if tap[0] >= place.lattice.rows or tap[1] >= place.lattice.columns:
            raise PlannerError(
                f"The grid has {place.lattice.rows} rows of {place.lattice.columns}.",
                mend="Name a row and a column within it.",
            )
        return replace(place, taps=(*place.taps, tap), tapped=place.tapped + 1)
    if place.base.fixed:
        raise PlannerError(
            "This grid was reduced from the picture; its rows are not lines of it.",
            mend="Change its rows, columns or cut where it was reduced, or take the grid as it was read.",
        )
    if step["side"]:
        return _extended(place, step["side"], 1 if step["act"] == "a" else -1)
    right, down = int(step["right"]), int(step["down"])
    if step["move"] == "s":
        lattice = _stretched(place.lattice, right / QUARTERS, down / QUARTERS)
        return replace(place, lattice=lattice, wider=place.wider + right, deeper=place.deeper + down)
    return replace(
        place,
        lattice=place.lattice.nudged(right / QUARTERS, down / QUARTERS),
        right=place.right + right,
        down=place.down + down,
    )


def _stretched(lattice, right: float, down: float):
    """Its right edge moved to the right and its bottom edge down, the squares between them spread evenly."""
    one, (x2, y2), (x3, y3), (x4, y4) = lattice.corners
    corners = (one, (x2 + right, y2), (x3 + right, y3 + down), (x4, y4 + down))
    return type(lattice)(corners, lattice.rows, lattice.columns)


def _extended(place: Place, side: str, count: int) -> Place:
    """A row or column more or fewer: what was tapped keeps its place on the picture."""
    lattice = place.lattice.extended(**{SIDES[side]: count})
    down, across = (count if side == "t" else 0), (count if side == "l" else 0)
    older = len(place.taps) - place.tapped
    shifted = [(row + down, column + across) for row, column in place.taps]
    within = [0 <= row < lattice.rows and 0 <= column < lattice.columns for row, column in shifted]
    return replace(
        place,
        lattice=lattice,
        sides={**place.sides, side: place.sides.get(side, 0) + count},
        taps=tuple(tap for tap, inside in zip(shifted, within, strict=True) if inside),
        tapped=sum(within[older:]),
    )
