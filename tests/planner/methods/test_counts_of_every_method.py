"""Every method's counts: those worked by hand for a small grid, and a few plain lines' on pictures of chance."""

from __future__ import annotations

import json
from collections import Counter
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from planner.methods.counting import count_panels, count_rows, deep, distinct, runs, tiles, upright

HERE = Path(__file__).parents[2] / "reference"
BUILDS, WORKED = (json.loads((HERE / f"{name}.json").read_text()) for name in ("worked-builds", "worked-methods"))
COPIES, PITCH, THICK = BUILDS["copies"], Fraction(BUILDS["pitch_mm"]), Fraction(BUILDS["thickness_mm"])
KERF, GRIP = Fraction(WORKED["kerf_mm"]), Fraction(WORKED["grip_mm"])
GRID = [[str(wood) for wood in row] for row in BUILDS["grid"]]
ROWS_OF = {"tiles": tiles, "runs": runs, "deep": lambda cells, pitch: deep(runs(cells, pitch))}
TURNED = {"along_the_rows": GRID, "along_the_columns": upright(GRID)}


@pytest.mark.parametrize(("along", "method"), [(a, m) for a, found in WORKED["rows"].items() for m in found])
def test_rows_of_the_worked_grid(along, method):
    counts = count_rows(ROWS_OF[method](TURNED[along], PITCH), COPIES, KERF)
    worked = WORKED["rows"][along][method]
    assert {name: getattr(counts, name) for name in worked} == worked


@pytest.mark.parametrize(("along", "way"), [(a, w) for a, found in WORKED["panels"].items() for w in found])
def test_panels_of_the_worked_grid(along, way):
    thick = PITCH if way == "face_up" else THICK
    counts = count_panels(distinct(runs(TURNED[along], PITCH)), COPIES, step=lambda row: thick, kerf=KERF, grip=GRIP)
    worked = dict(WORKED["panels"][along][way])
    assert max(panel.longest for panel in counts.panels) == worked.pop("longest")
    assert {name: getattr(counts, name) for name in worked} == worked


# --- the oracle: what one would count with a finger on the picture --------------------------------------------------


def by_finger(cells, method, copies, p, k):
    """Rows of pieces, each piece found by going along every row of the picture and looking at each neighbour."""
    rows = []  # (lengths of the pieces, height in tiles)
    for r, row in enumerate(cells):
        if method == "deep" and r and list(row) == list(cells[r - 1]):
            rows[-1][1] += 1
            continue
        lengths = [1]
        for c in range(1, len(row)):
            if method != "tiles" and row[c] == row[c - 1]:
                lengths[-1] += 1
            else:
                lengths.append(1)
        rows.append([lengths, 1])
    every = [length for lengths, _ in rows for length in lengths]
    return {
        "pieces": copies * len(every),
        "crosscuts": copies * len(every),
        "stops": len(set(every)),
        "rows_glued": copies * len([1 for lengths, _ in rows if len(lengths) > 1]),
        "joints": copies * (len(every) - len(rows)),
        "row_joints": copies * (len(rows) - 1),
        "kerf_area": copies * sum(k * p * high for lengths, high in rows for _ in lengths),
        "end_area": copies * sum(p * high for lengths, high in rows for _ in lengths[1:]),
    }


def panels_by_finger(cells, copies, p, k, grip, step, longest):
    often = Counter(min(tuple(row), tuple(row)[::-1]) for row in cells)
    found = Counter()
    widths = {step and (step, "slice")}
    for row, times in often.items():
        left = times * copies
        run = [1]
        for c in range(1, len(row)):
            if row[c] == row[c - 1]:
                run[-1] += 1
            else:
                run.append(1)
        widths |= {(length, "strip") for length in run}
        while left:  # one panel after another, slice by slice, until it is too long for one more
            length, slices = grip, 0
            while slices < left and (longest is None or length + step + k <= longest):
                length, slices = length + step + k, slices + 1
            left -= slices
            found["panel_count"] += 1
            found["strips"] += len(run)
            found["joints"] += len(run) - 1
            found["slices"] += slices
            found["strip_length"] += len(run) * length
            found["grip_area"] += grip * p * len(row)
            found["kerf_area"] += slices * k * p * len(row)
    return dict(found) | {"row_joints": copies * (len(cells) - 1), "stops": len(widths)}


def chance(seed):
    """A picture of 1 to 7 by 1 to 7 cells in up to 3 woods, half of them with rows that come again or turned."""
    rng = np.random.default_rng(seed)
    cells = rng.integers(0, rng.integers(1, 4), size=rng.integers(1, 8, size=2))
    if seed % 2:
        cells = np.vstack([cells, cells[::-1, ::-1], cells[:1]])
    sizes = [Fraction(int(n), 4) for n in rng.integers(20, 200, size=2)]
    return [[str(wood) for wood in row] for row in cells], int(rng.integers(1, 12)), *sizes, rng


@pytest.mark.parametrize("method", ROWS_OF)
@pytest.mark.parametrize("turned", [False, True], ids=["rows", "columns"])
def test_rows_of_any_picture_are_counted_as_by_finger(method, turned):
    for seed in range(120):
        cells, copies, pitch, kerf, _ = chance(seed)
        if turned:
            cells = upright(cells)
        counts = count_rows(ROWS_OF[method](cells, pitch), copies, kerf)
        told = by_finger(cells, method, copies, pitch, kerf)
        assert {name: getattr(counts, name) for name in told} == told, seed


@pytest.mark.parametrize("turned", [False, True], ids=["rows", "columns"])
def test_panels_of_any_picture_are_counted_as_by_finger(turned):
    for seed in range(120):
        cells, copies, pitch, kerf, rng = chance(seed)
        if turned:
            cells = upright(cells)
        step, grip = pitch + Fraction(1, 3), Fraction(int(rng.integers(0, 60)))
        longest = None if seed % 3 == 0 else grip + (step + kerf) * Fraction(int(rng.integers(4, 40)), 4)
        counts = count_panels(
            distinct(runs(cells, pitch)),
            copies,
            step=lambda row, step=step: step,
            kerf=kerf,
            grip=grip,
            longest=longest,
        )
        told = panels_by_finger(cells, copies, pitch, kerf, grip, step, longest)
        assert {name: getattr(counts, name) for name in told} == told, seed


def test_a_panel_too_short_for_a_single_slice_is_no_panel():
    with pytest.raises(ValueError, match="slice"):
        count_panels(
            distinct(runs(GRID, PITCH)),
            1,
            step=lambda row: PITCH,
            kerf=KERF,
            grip=GRIP,
            longest=PITCH + KERF + GRIP - 1,
        )


def test_spare_slices_are_cut_with_the_others_and_join_nothing():
    with_spares = count_panels(
        distinct(runs(GRID, PITCH)), COPIES, step=lambda row: PITCH, kerf=KERF, grip=GRIP, spare=lambda needed: 1
    )
    assert with_spares.slices == 12 + 2 and with_spares.row_joints == 9
