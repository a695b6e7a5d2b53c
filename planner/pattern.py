"""The picture as a grid of woods: counts, runs, and the turns and changes a maker makes to it.

A cell holds a wood or is background. A pattern never changes; every change is another pattern. Two patterns
are equal when every cell is, however they came about.
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from planner.errors import PlannerError
from planner.palettepng import read_palette_png, size_of_png, write_palette_png

# The one limit on a pattern's side, in cells.
LARGEST_SIDE = 200
# One byte a cell, 0 for background.
MOST_WOODS = 255
BACKGROUND_WORD = "-"
PNG_KEY = "Kerfstead woods"
# Longer texts of a run are read anew each time, or hostile ones would fill the memory.
LONGEST_KEPT = 100
# How a wood's id is written; so written, a comma or a blank always ends it in the text form.
_WOOD_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
_RUN_IN_TEXT = re.compile(rf"\s*([0-9]{{1,3}})\s+(-|{_WOOD_ID.pattern})\s*")


class PatternError(PlannerError):
    """Cells, a text or a picture file that make no pattern."""


@dataclass(frozen=True, slots=True)
class Run:
    """``length`` neighbouring cells of one wood (None for background) from cell ``start``."""

    start: int
    length: int
    wood: str | None


@dataclass(frozen=True, slots=True)
class Pattern:
    """``rows`` of cells, top row first; 0 is background and k stands for ``woods[k - 1]``.

    Make one with ``Pattern.of``, which keeps woods in the order they first appear, so that equal grids are
    equal values.

    >>> p = Pattern.of([["beech", "beech", None]])
    >>> p.counts(), p.background
    ({'beech': 2}, 1)
    """

    woods: tuple[str, ...]
    rows: tuple[bytes, ...]

    # --- making one ---

    @classmethod
    def of(cls, cells: Sequence[Sequence[str | None]]) -> Pattern:
        """A pattern from rows of wood ids (small letters, digits, hyphens) and None for background.

        Raises PatternError when it is empty, ragged or too large, or names a wood in another way.
        """
        height = len(cells)
        width = len(cells[0]) if height else 0
        _check_size(height, width)
        numbers: dict[str, int] = {}
        rows = []
        for number, row in enumerate(cells, start=1):
            if len(row) != width:
                raise PatternError(
                    f"Row {number} has {len(row)} cells where row 1 has {width}.", mend="Give every row as many."
                )
            rows.append([0 if c is None else numbers.setdefault(c, len(numbers) + 1) for c in row])
        _check_woods(numbers)
        return cls(tuple(numbers), tuple(bytes(row) for row in rows))

    @classmethod
    def _of_array(cls, woods: Sequence[str], cells: NDArray[np.uint8]) -> Pattern:
        """From a grid of numbers into ``woods``, putting the woods in order of first appearance."""
        _check_size(*cells.shape)
        used, first = np.unique(cells, return_index=True)
        order = [int(k) for k, _ in sorted(zip(used, first, strict=True), key=lambda pair: pair[1]) if k]
        table = np.zeros(256, dtype=np.uint8)
        for new, old in enumerate(order, start=1):
            table[old] = new
        return cls(tuple(woods[k - 1] for k in order), tuple(row.tobytes() for row in table[cells]))

    # --- looking at it ---

    @property
    def height(self) -> int:
        return len(self.rows)

    @property
    def width(self) -> int:
        return len(self.rows[0])

    @property
    def background(self) -> int:
        """How many cells are background."""
        return sum(row.count(0) for row in self.rows)

    def cell(self, row: int, column: int) -> str | None:
        number = self.rows[row][column]
        return self.woods[number - 1] if number else None

    def counts(self) -> dict[str, int]:
        """Tiles of each wood, background left out."""
        totals = np.bincount(self._array().ravel(), minlength=len(self.woods) + 1)
        return {name: int(totals[i + 1]) for i, name in enumerate(self.woods)}

    def runs_in_row(self, row: int) -> tuple[Run, ...]:
        return self._runs(self.rows[row])

    def runs_in_column(self, column: int) -> tuple[Run, ...]:
        return self._runs(bytes(row[column] for row in self.rows))

    # --- another pattern ---

    def cropped(self, top: int, left: int, height: int, width: int) -> Pattern:
        """Only the ``height`` rows from ``top`` and the ``width`` columns from ``left``. Raises PatternError when
        they reach outside."""
        if min(top, left) < 0 or top + height > self.height or left + width > self.width:
            raise PatternError("The part to keep reaches outside the pattern.", mend="Choose cells inside it.")
        return self._of_array(self.woods, self._array()[top : top + height, left : left + width])

    def padded(self, top: int, right: int, bottom: int, left: int) -> Pattern:
        """With rows and columns of background added. Raises PatternError when it would grow past the limit."""
        if min(top, right, bottom, left) < 0:
            raise PatternError("Fewer than no rows or columns cannot be added.", mend="Crop the pattern instead.")
        _check_size(self.height + top + bottom, self.width + left + right)
        return self._of_array(self.woods, np.pad(self._array(), ((top, bottom), (left, right))))

    def mirrored(self) -> Pattern:
        """Left for right, as a board glued face down is laid."""
        return self._of_array(self.woods, self._array()[:, ::-1])

    def turned(self, quarter_turns: int = 1) -> Pattern:
        """Turned clockwise by quarter turns."""
        return self._of_array(self.woods, np.rot90(self._array(), -quarter_turns))

    def shifted(self, rows: int, columns: int) -> Pattern:
        """Moved down and to the right; what leaves is lost and what opens is background."""
        cells = np.zeros_like(self._array())
        height, width = cells.shape
        # Moved by its whole height or further a pattern is gone, however far that is.
        rows, columns = (max(-side, min(side, by)) for side, by in ((height, rows), (width, columns)))
        cells[max(rows, 0) : height + min(rows, 0), max(columns, 0) : width + min(columns, 0)] = self._array()[
            max(-rows, 0) : height + min(-rows, 0), max(-columns, 0) : width + min(-columns, 0)
        ]
        return self._of_array(self.woods, cells)

    def replaced(self, old: str | None, new: str | None) -> Pattern:
        """Every cell of ``old`` made ``new``; None stands for background."""
        return Pattern.of([[new if c == old else c for c in row] for row in self._names()])

    # --- text and picture forms ---

    def to_text(self) -> str:
        """A line a row, each a list of runs as they are laid: ``2 -, 3 walnut-black``; - is background.

        >>> print(Pattern.of([[None, "beech", "beech"]]).to_text())
        1 -, 2 beech
        """
        return "\n".join(
            ", ".join(f"{run.length} {run.wood or BACKGROUND_WORD}" for run in self.runs_in_row(i))
            for i in range(self.height)
        )

    @classmethod
    def from_text(cls, text: str) -> Pattern:
        """A pattern back from ``to_text``. Raises PatternError naming the line that cannot be read."""
        lines = text.strip().splitlines()
        if len(lines) > LARGEST_SIDE:
            raise PatternError(f"The text has {len(lines)} rows.", mend=f"The most is {LARGEST_SIDE}.")
        return cls.of([_cells_of_line(line, number) for number, line in enumerate(lines, start=1)])

    def to_png(self, colours: Mapping[str, tuple[int, int, int]] | None = None) -> bytes:
        """A palette PNG at one pixel a cell, index 0 clear; the wood ids ride along as words.

        ``colours`` are the woods' finished colours by id; a wood without one gets a colour of no meaning.
        """
        given = colours or {}
        palette = [(255, 255, 255)]
        for number, wood in enumerate(self.woods, start=1):
            red, green, blue = ((60 + 37 * (3 * number + i)) % 256 for i in range(3))
            palette.append(given.get(wood, (red, green, blue)))
        return write_palette_png(self._array(), palette, {PNG_KEY: json.dumps(list(self.woods))})

    @classmethod
    def from_png(cls, data: bytes) -> Pattern:
        """A pattern back from ``to_png``. Raises PatternError for any other file."""
        other = PatternError("This picture file holds no pattern of woods.", mend="Bring it as a picture instead.")
        try:
            _check_size(*size_of_png(data))
            picture = read_palette_png(data, LARGEST_SIDE)
            woods = json.loads(picture.words[PNG_KEY])
        except PatternError:
            raise
        except (ValueError, KeyError, RecursionError) as error:
            raise other from error
        cells = picture.cells
        if not (isinstance(woods, list) and all(isinstance(w, str) for w in woods) and cells.max() <= len(woods)):
            raise other
        _check_woods(woods)
        if len(set(woods)) != len(woods):
            raise other
        return cls._of_array(woods, cells)

    # --- inside ---

    def _array(self) -> NDArray[np.uint8]:
        return np.frombuffer(b"".join(self.rows), dtype=np.uint8).reshape(self.height, self.width)

    def _names(self) -> list[list[str | None]]:
        names: list[str | None] = [None, *self.woods]
        return [[names[k] for k in row] for row in self.rows]

    def _runs(self, cells: bytes) -> tuple[Run, ...]:
        runs: list[Run] = []
        start = 0
        for i in range(1, len(cells) + 1):
            if i == len(cells) or cells[i] != cells[start]:
                number = cells[start]
                runs.append(Run(start, i - start, self.woods[number - 1] if number else None))
                start = i
        return tuple(runs)


def _check_size(height: int, width: int) -> None:
    if height < 1 or width < 1:
        raise PatternError("There is nothing in the pattern.", mend="It needs at least one cell.")
    if max(height, width) > LARGEST_SIDE:
        raise PatternError(
            f"The pattern is {width} cells wide and {height} high.",
            mend=f"The largest side is {LARGEST_SIDE}; crop it or bring a smaller picture.",
        )


def _check_woods(woods: Collection[str]) -> None:
    if len(woods) > MOST_WOODS:
        raise PatternError(f"The pattern names {len(woods)} woods.", mend=f"The most is {MOST_WOODS}.")
    for name in woods:
        if not _WOOD_ID.fullmatch(name):
            raise PatternError(
                f"“{name[:40]}” cannot stand for a wood.",
                mend="Use small letters, digits and hyphens, like “maple-hard”.",
            )


def _cells_of_line(line: str, number: int) -> list[str | None]:
    cells: list[str | None] = []
    for part in line.split(","):
        length, wood = _run_of(part) if len(part) < LONGEST_KEPT else _run_of.__wrapped__(part)
        if len(cells) + length > LARGEST_SIDE:
            raise PatternError(f"Line {number} holds more than {LARGEST_SIDE} cells.", mend="Shorten that row.")
        if not length:
            raise PatternError(
                f"Line {number} cannot be read at “{part.strip()[:40]}”.",
                mend="Write each run as a count and a wood, like “3 beech”, with “-” for background.",
            )
        cells += [wood] * length
    return cells


@lru_cache(maxsize=4096)
def _run_of(part: str) -> tuple[int, str | None]:
    """Count and wood of a run as it is written; nought for what is none. Most runs of a text are written many times."""
    match = _RUN_IN_TEXT.fullmatch(part)
    if match is None:
        return 0, None
    return int(match[1]), None if match[2] == BACKGROUND_WORD else match[2]
