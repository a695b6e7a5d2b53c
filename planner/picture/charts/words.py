"""The lines of a chart in a few words, so that a maker can see what was taken for what."""

from __future__ import annotations

import numpy as np

from planner.picture.charts.frame import Frame
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Sheet

# Ink darker than the first is called dark, lighter than the second light, of 255.
_DARK, _LIGHT = 96.0, 176.0
# Lines wider than this part of a cell are called thick.
_THICK = 0.13
# Lines are heavier when they hold this many times the ink of the others, in the median; and so every k-th one when
# three in four of those k apart do and no more than one in ten of the others.
_HEAVIER = 1.3
_SPACINGS = (5, 10)


def lines_in_words(sheet: Sheet, frame: Frame, pitch: float) -> str:
    """As "thin dark lines" or "thick grey lines, heavier every 10"."""
    across = _ink_of_lines(sheet, frame, upright=True), _ink_of_lines(sheet, frame, upright=False)
    every = np.concatenate([one[np.isfinite(one)] for one in across])
    if not len(every):
        return "lines"
    colour = sheet.ink.own / max(0.1, 1 - sheet.ink.through)
    level = float(np.clip(colour, 0, 255) @ np.array([0.299, 0.587, 0.114]))
    tone = "dark" if level < _DARK else "light" if level > _LIGHT else "grey"
    width = float(np.median(every)) / max(1.0, frame.contrast) / pitch
    words = f"{'thick' if width > _THICK else 'thin'} {tone} lines"
    spacing = _spacing(across)
    return f"{words}, heavier every {spacing}" if spacing else words


def _ink_of_lines(sheet: Sheet, frame: Frame, upright: bool) -> Floats:
    """The ink of each line of the frame in the median of its pieces; not a number where too few are seen."""
    pieces = sheet.upright if upright else sheet.level
    lines, cells = (frame.left, frame.right), (frame.top, frame.bottom)
    if not upright:
        lines, cells = cells, lines
    cut = np.s_[lines[0] : lines[1] + 1, cells[0] : cells[1]]
    good = pieces.there[cut] & pieces.same[cut]
    mass = np.where(good, pieces.mass[cut], np.nan)
    enough = good.sum(axis=1) >= 3
    ink = np.full(len(mass), np.nan)
    ink[enough] = np.nanmedian(mass[enough], axis=1)
    return ink


def _spacing(across: tuple[Floats, Floats]) -> int:
    for spacing in _SPACINGS:
        if all(_is_heavier_every(ink, spacing) for ink in across):
            return spacing
    return 0


def _is_heavier_every(ink: Floats, spacing: int) -> bool:
    usual = float(np.nanmedian(ink)) if np.isfinite(ink).any() else 0.0
    # The frame around it is often heavy of itself.
    inner = np.arange(1, len(ink) - 1)
    known = np.isfinite(ink[inner])
    heavy = np.where(known, ink[inner], 0) > _HEAVIER * usual
    for phase in range(spacing):
        due = inner % spacing == phase
        if (due & known).sum() >= 1 and (~due & known).any():
            hit, miss = float(heavy[due & known].mean()), float(heavy[~due & known].mean())
            if hit >= 0.75 and miss <= 0.1:
                return True
    return False
