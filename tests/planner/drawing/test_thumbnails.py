"""A pattern in small holds every tile in its place, and weighs little."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np

from planner.drawing import WoodLook, pattern_svg, thumbnail_svg
from planner.drawing.thumbnail import coarser
from planner.pattern import Pattern
from planner.woods import WOODS

SVG = "{http://www.w3.org/2000/svg}"
IDS = list(WOODS)[:8]
LOOKS = {name: WoodLook(WOODS[name].name, WOODS[name].finished_rgb, "ring") for name in IDS}
BY_FILL = {look.fill: name for name, look in LOOKS.items()}


def tiles_drawn(svg: str) -> dict[tuple[int, int], str]:
    """Which wood lies in each cell, followed stroke by stroke."""
    found = {}
    for path in ElementTree.fromstring(svg).iter(f"{SVG}path"):
        if path.get("stroke") is None:
            continue
        x = y = 0.0
        for step, numbers in re.findall(r"([Mmh])([-\d. ]+)", path.get("d")):
            values = [float(number) for number in numbers.split()]
            if step == "h":
                for k in range(int(values[0])):
                    assert found.setdefault((int(y), int(x) + k), BY_FILL[path.get("stroke")])
                x += values[0]
            else:
                x, y = (values[0], values[1]) if step == "M" else (x + values[0], y + values[1])
    return found


def noise(side: int) -> Pattern:
    picked = np.random.default_rng(7).integers(0, 9, (side, side))
    return Pattern.of([[None if k == 8 else IDS[k] for k in row] for row in picked.tolist()])


def test_every_tile_lies_where_the_pattern_has_it_and_background_nowhere():
    pattern = noise(24)
    wanted = {
        (r, c): pattern.cell(r, c) for r in range(24) for c in range(24) if pattern.cell(r, c) is not None
    }  # fmt: skip
    assert tiles_drawn(thumbnail_svg(pattern, LOOKS)) == wanted


def test_the_wood_behind_lies_under_the_whole_pattern_where_it_is_named():
    svg = thumbnail_svg(Pattern.of([[None, IDS[0]]]), {**LOOKS, None: LOOKS[IDS[3]]})
    assert f'<path d="M0 0h2v1H0z" fill="{LOOKS[IDS[3]].fill}"/>' in svg


def test_the_noisiest_pattern_of_the_largest_side_stays_under_a_hundred_thousand_bytes():
    """Nearly every tile is a run of its own; a drawing with lines and marks of it weighs thirty times that and more."""
    worst = noise(200)
    small = len(thumbnail_svg(worst, LOOKS))
    assert small < 100_000
    assert small * 30 < len(pattern_svg(worst, LOOKS))


def test_a_cell_of_a_coarser_pattern_is_what_most_of_its_four_hold_and_an_odd_rim_is_kept():
    a, b = IDS[:2]
    fine = Pattern.of([[a, a, b], [a, b, b], [None, None, b]])
    assert coarser(fine) == Pattern.of([[a, b], [None, b]])


def test_what_is_large_and_calm_is_drawn_cell_by_cell():
    calm = Pattern.of([[IDS[(r // 20 + c // 20) % 8] for c in range(200)] for r in range(200)])
    assert 'viewBox="0 0 200 200"' in thumbnail_svg(calm, LOOKS)


def test_words_for_whoever_cannot_see_it_stand_in_it_or_it_is_decoration():
    assert 'aria-hidden="true"' in thumbnail_svg(noise(2), LOOKS)
    assert 'aria-label="Heron &amp; reeds"' in thumbnail_svg(noise(2), LOOKS, "Heron & reeds")
