"""A kept record as the pieces one sees on the front of its board as it hangs, each with its place in its strip.

Nothing here is in pixels: all sizes are millimetres of the finished board, floats, for drawing only. What is trimmed
when the board is cut to size is left out, but still takes its length of the strip.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.build import along_of
from planner.drawing.preview.dealing import Dealt, deal_rows, deal_slices

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Scene:
    """A board ``width`` by ``height`` as it hangs. Of n pieces ``wood`` is a number into ``woods``, ``boxes`` (n × 4)
    left, top, right and bottom, and ``dealt`` the strip each is cut from.

    ``upright``: the grain of a piece runs up and down, its strip begins at the bottom and its rows count from the left.
    ``end_grain``: pieces are slices and show their grain on end. ``details`` are those of the record by key.
    """

    width: float
    height: float
    upright: bool
    end_grain: bool
    woods: tuple[str, ...]
    wood: Ints
    boxes: Floats
    dealt: Dealt
    details: Mapping[str, Mapping[str, Any]]


def scene_of(record: Mapping[str, Any]) -> Scene:
    """The front of a record's board. Older records, without panels, depths or details, read as boards of rows."""
    length, height = (_mm(text) for text in record["finished"][:2])
    blank_length, blank_height = (_mm(text) for text in record["blank"])
    rows = _rows(record)
    flat = np.array([n for parts, _, _ in rows for n in parts], dtype=np.int64)
    row_of = np.repeat(np.arange(len(rows)), [len(parts) for parts, _, _ in rows])
    places = np.array([[_mm(text) for text in part["place"]] for part in record["parts"]])
    woods = tuple(dict.fromkeys(part["wood"] for part in record["parts"]))
    wood_of_part = np.array([woods.index(part["wood"]) for part in record["parts"]], dtype=np.int64)

    long, deep = places[flat, 0], places[flat, 1]
    first = np.flatnonzero(np.diff(row_of, prepend=-1))
    x = np.cumsum(long) - long
    x = x - x[first][row_of] - (blank_length - length) / 2
    tops = np.cumsum(deep[first]) - deep[first] - (blank_height - height) / 2
    y = tops[row_of]
    boxes = np.column_stack(
        [np.clip(x, 0, length), np.clip(y, 0, height), np.clip(x + long, 0, length), np.clip(y + deep, 0, height)]
    )
    end_grain = bool(record.get("panels"))
    # What the blank's trim takes off a piece's beginning lies in its strip all the same.
    trimmed = boxes[:, 0] - x
    if end_grain:
        dealt = deal_slices(rows, [_panel(panel) for panel in record["panels"]], boxes, wood_of_part[flat])
    else:
        dealt = deal_rows(wood_of_part[flat], long, deep, boxes[:, 3] - boxes[:, 1], trimmed)
    upright = along_of(record) == "columns"
    if upright:
        # Turned back from the bench: the left end of a row hangs at the bottom, the top row at the left.
        boxes = np.column_stack([boxes[:, 1], length - boxes[:, 2], boxes[:, 3], length - boxes[:, 0]])
        length, height = height, length
    details = {detail["key"]: detail for detail in record.get("details", ())}
    return Scene(length, height, upright, end_grain, woods, wood_of_part[flat], boxes, dealt, details)


def _mm(text: str) -> float:
    return float(Fraction(text))


def _panel(panel: Mapping[str, Any]) -> tuple[int, int, float]:
    """Its number, how many slices come out of one such panel, and how thick each is."""
    return panel["number"], -(-panel["slices"] // panel["count"]), _mm(panel["sliced"])


def _rows(record: Mapping[str, Any]) -> list[tuple[Sequence[int], int, bool]]:
    """Numbers of parts row by row as laid, borders along the rows among them; of which panel, and whether turned."""
    rows = [(row["parts"], row.get("panel", 0), row.get("turned", False)) for row in record["laid"]]
    upper, lower = record["borders"]
    return rows if upper is None else [([upper], 0, False), *rows, ([lower], 0, False)]
