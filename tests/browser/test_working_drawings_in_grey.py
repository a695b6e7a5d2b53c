"""What is left of a working drawing when a browser paints it and its colours are taken away: two woods of one grey
still lie apart, by the line between them and by their marks."""

from __future__ import annotations

import io
from fractions import Fraction

import numpy as np
import pytest
from PIL import Image

from planner.drawing import WoodLook, luminance
from planner.drawing.marking import PHONE, SCREEN
from planner.drawing.working import laid_svg
from tests.planner.drawing.working.boards import record_with

# A red and a green of one luminance, and a pair of dark woods that are nearly one.
PAIRS = {
    "one grey": ((190, 96, 80), (78, 133, 81)),
    "light": ((222, 190, 140), (215, 193, 150)),
    "dark": ((70, 48, 38), (62, 52, 44)),
}
ROWS = [["beech" if (x // 2 + y) % 2 else "walnut-black" for x in range(12)] for y in range(8)]


def grey(chromium, svg, width):
    page = chromium.new_page(viewport={"width": width, "height": 1400}, device_scale_factor=2)
    page.set_content(f"<style>body{{margin:0;background:#fff}}svg{{width:{width}px;display:block}}</style>{svg}")
    shot = page.locator("svg").screenshot()
    page.close()
    return np.asarray(Image.open(io.BytesIO(shot)).convert("L")).astype(float)


@pytest.mark.parametrize("room", (SCREEN, PHONE), ids=("screen", "phone"))
@pytest.mark.parametrize("pair", PAIRS)
def test_neighbours_of_one_grey_lie_apart_in_the_pixels(chromium, pair, room):
    one, other = PAIRS[pair]
    assert abs(luminance(one) - luminance(other)) < 0.03
    looks = {
        "beech": WoodLook("Beech", one, "rise"),
        "walnut-black": WoodLook("Walnut", other, "ring"),
        "sycamore": WoodLook("Sycamore", (214, 174, 128), "bar"),
    }
    record = record_with(ROWS)
    svg = laid_svg(record, looks, "mm", room=room)
    root = svg[: svg.index(">")]
    scale, left, top = (float(root.split(f'data-{name}="')[1].split('"')[0]) for name in ("along", "left", "top"))
    pixels = grey(chromium, svg, room.width)
    pitch, end = (float(Fraction(record["spec"][name])) for name in ("pitch", "end_border"))
    trims = [(float(Fraction(record["blank"][n])) - float(Fraction(record["finished"][n]))) / 2 for n in (0, 1)]

    def at(column, row):
        """The pixel at so many tiles along the rows and across them."""
        x = left + (trims[0] + column * pitch) * scale
        y = top + (trims[1] + end + row * pitch) * scale
        return round(x * 2), round(y * 2)

    seen = 0
    for row in range(8):
        for column in (2, 4, 8, 10):
            # A quarter of the tile's height down, clear of marks; from the middle of one piece to that of the other.
            (a, y), (b, _) = at(column - 0.9, row + 0.15), at(column + 0.9, row + 0.15)
            line = pixels[y, a:b]
            ground = np.median(line)
            middle = line[len(line) // 2 - 4 : len(line) // 2 + 5]
            assert np.abs(middle - ground).max() > 25, (row, column)
            seen += 1
    assert seen == 32
    # A slanted stroke runs through the middle of its piece; a ring leaves it free, and stands around it.
    (x, y), (ring_x, ring_y) = at(3, 0.5), at(5, 0.5)
    for (a, b), struck in (((x, y), True), ((ring_x, ring_y), False)):
        half = round(0.35 * pitch * scale * 2)
        tile = pixels[b - half : b + half + 1, a - half : a + half + 1]
        away = np.abs(tile - np.median(tile))
        assert away.max() > 40
        assert (away[half - 1 : half + 2, half - 1 : half + 2].max() > 40) == struck
