"""Whether a reading is right.

    from tests.pictures.judge import judge
    verdict = judge(case, read_picture(case.data))   # or judge(case, None) where a PictureError was raised
    verdict.exact, verdict.offered, verdict.sure, verdict.why

*Exact*: rows and columns just right, and at least 99 % of the cells within CIEDE2000 5 of the truth, background
included: a cell filled where background is due is wrong, and the reverse. It is asked twice, of the grids as they are
and with outer rows and columns of mere background taken off both; which leads is a matter of the kind (``TRIMMED``).
For kinds whose light was changed (``degrade.LIT``) the colours are compared after a straight line for each channel,
fitted by least squares over the cells filled in both, has brought the reading to the truth.

*Offered*: the right grid, rows, columns and place, is the best or among the others, whatever its colours.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.picture.colour import ciede2000, srgb_to_lab
from tests.pictures.degrade import LIT, TRIMMED, Case
from tests.pictures.warping import homography, mapped, upright

NEAR = 5.0
SHARE = 0.99
# How far a corner may lie off, in cells, for the place to be right.
OFF_AT_MOST = 0.4

Mask = NDArray[np.bool_]
Rgb = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Verdict:
    """``exact`` by the leading rule of the kind; ``size`` right by it; ``wrong``, the share of wrong cells where so."""

    exact: bool
    untrimmed: bool
    trimmed: bool
    size: bool
    wrong: float
    offered: bool
    sure: bool
    why: str


def judge(case: Case, reading: Any) -> Verdict:
    """The verdict on what ``read_picture`` returned for the file of a case, or None when it read nothing."""
    if reading is None:
        return Verdict(False, False, False, False, 1.0, False, False, "not read")
    lit = case.kind in LIT
    whole = _compared(case, reading.grid.rgb, reading.grid.filled, lit, trim=False)
    inner = _compared(case, reading.grid.rgb, reading.grid.filled, lit, trim=True)
    wrong = inner if case.kind in TRIMMED else whole
    exact = wrong is not None and wrong <= 1 - SHARE
    offered = any(_is_right_grid(case, grid, lattice) for grid, lattice in _proposals(reading))
    return Verdict(
        exact,
        whole is not None and whole <= 1 - SHARE,
        inner is not None and inner <= 1 - SHARE,
        wrong is not None,
        1.0 if wrong is None else wrong,
        offered or exact,
        bool(getattr(reading, "sure", False)),
        "" if exact else _why(case, reading, wrong),
    )


def trim(filled: Mask) -> tuple[slice, slice]:
    """The rows and columns from the first to the last with a filled cell."""
    rows, columns = np.flatnonzero(filled.any(axis=1)), np.flatnonzero(filled.any(axis=0))
    if not len(rows):
        return slice(0, 0), slice(0, 0)
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def wrong_cells(truth: Rgb, due: Mask, rgb: Rgb, filled: Mask, lit: bool = False) -> Mask:
    """Which cells are wrong, in two grids of one size."""
    both = due & filled
    colours = rgb.astype(np.float64)
    if lit and both.sum() >= 2:
        colours = _brought_to(truth[both].astype(np.float64), colours, both)
    far = ciede2000(srgb_to_lab(colours), srgb_to_lab(truth)) > NEAR
    return np.asarray((due != filled) | (both & far))


def _brought_to(truth: NDArray[np.float64], colours: NDArray[np.float64], both: Mask) -> NDArray[np.float64]:
    fitted = colours.copy()
    for channel in range(3):
        seen = colours[both][:, channel]
        if np.ptp(seen) < 1:
            fitted[..., channel] += truth[:, channel].mean() - seen.mean()
            continue
        slope, start = np.polyfit(seen, truth[:, channel], 1)
        fitted[..., channel] = slope * colours[..., channel] + start
    return fitted.clip(0, 255)


def _compared(case: Case, rgb: Rgb, filled: Mask, lit: bool, trim: bool) -> float | None:
    """The share of wrong cells by the kindest of the masks that would do, or None where no size fits."""
    shares = []
    for due in (case.filled, *case.also):
        want, have = _part(due, trim), _part(filled, trim)
        if due[want].shape == filled[have].shape and due[want].size:
            shares.append(float(wrong_cells(case.rgb[want], due[want], rgb[have], filled[have], lit).mean()))
    return min(shares) if shares else None


def _part(filled: Mask, trimmed: bool) -> tuple[slice, slice]:
    return trim(filled) if trimmed else (slice(0, filled.shape[0]), slice(0, filled.shape[1]))


def _proposals(reading: Any) -> Iterator[tuple[Any, Any]]:
    yield reading.grid, getattr(reading, "lattice", None)
    for other in getattr(reading, "others", ()):
        yield other.grid, other.lattice


def _is_right_grid(case: Case, grid: Any, lattice: Any) -> bool:
    """Whether the grid has the right cells at the right place, as it is or trimmed, whatever it makes of background."""
    parts = [(slice(0, grid.filled.shape[0]), slice(0, grid.filled.shape[1])), trim(grid.filled)]
    wanted = [(slice(0, case.rows), slice(0, case.columns)), *(trim(due) for due in (case.filled, *case.also))]
    return any(_same_place(case, want, lattice, part) for want in wanted for part in parts)


def _same_place(case: Case, want: tuple[slice, slice], lattice: Any, part: tuple[slice, slice]) -> bool:
    if [s.stop - s.start for s in want] != [s.stop - s.start for s in part]:
        return False
    if lattice is None:
        return True
    places = homography(upright(0, 0, lattice.columns, lattice.rows), lattice.corners)
    truth = homography(upright(0, 0, case.columns, case.rows), case.corners)
    seen = mapped(places, _corners_of(part))
    due = mapped(truth, _corners_of(want))
    off = _corners_of(want) - mapped(np.linalg.inv(truth), seen)
    return bool(np.abs(off).max() <= OFF_AT_MOST and np.isfinite(due).all())


def _corners_of(part: tuple[slice, slice]) -> NDArray[np.float64]:
    rows, columns = part
    return np.array(upright(columns.start, rows.start, columns.stop, rows.stop), dtype=np.float64)


def _why(case: Case, reading: Any, wrong: float | None) -> str:
    grid = reading.grid
    trimmed = case.kind in TRIMMED
    want, have = _part(case.filled, trimmed), _part(grid.filled, trimmed)
    if wrong is None:
        rows, columns = case.filled[want].shape
        other_rows, other_columns = grid.filled[have].shape
        return f"{other_columns} x {other_rows} cells for {columns} x {rows}"
    if case.filled[want].shape != grid.filled[have].shape:
        return f"{wrong:.1%} of cells wrong"
    due, filled = case.filled[want], grid.filled[have]
    extra, missing = int((filled & ~due).sum()), int((due & ~filled).sum())
    return f"{wrong:.1%} of cells wrong; {extra} filled that are background, {missing} the other way"
