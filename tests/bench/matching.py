"""What the choice of woods takes, as ratios side by side in one run: `python -m tests.bench.matching`."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from itertools import islice

import numpy as np

from planner.matching import alternatives, choose_woods, fewest_woods, match_colours, merge_near
from planner.picture.colour import ciede2000, srgb_to_lab
from planner.woods import WOODS

BACKGROUND = WOODS["sycamore"].finished_rgb


def main() -> None:
    # (side, colours, woods); the first is what the others are measured by.
    cases = [(16, 8, 5), (48, 16, 6), (128, 40, 8), (200, 256, 8), (200, 256, len(WOODS))]
    heads = ("nearest", "one choice", "alternatives", "fewest", "merge")
    widths = (13, 14, 16, 14, 12)
    print(f"{'side':>6}{'colours':>9}{'woods':>7}" + "".join(f"{h:>{w}}" for h, w in zip(heads, widths, strict=True)))
    base: list[float] = []
    for side, count, woods_count in cases:
        cells, colours = _picture(side, count)
        woods = {name: wood.finished_rgb for name, wood in islice(WOODS.items(), woods_count)}
        counts = np.bincount(cells[cells >= 0], minlength=count).tolist()
        taken = [
            _median(lambda c=colours, w=woods, n=counts: match_colours(c, w, n)),
            _median(lambda p=cells, c=colours, w=woods: choose_woods(p, c, w, background_rgb=BACKGROUND)),
            _median(lambda p=cells, c=colours, w=woods: alternatives(p, c, w, background_rgb=BACKGROUND)),
            _median(lambda p=cells, c=colours, w=woods: fewest_woods(p, c, w, background_rgb=BACKGROUND)),
            _median(lambda c=colours, n=counts: merge_near(c, n, 4)),
        ]
        base = base or taken
        shown = [f"{t * 1000:.1f} ({t / b:.0f})" for t, b in zip(taken, base, strict=True)]
        print(f"{side:6}{count:9}{woods_count:7}" + "".join(f"{s:>{w}}" for s, w in zip(shown, widths, strict=True)))
    print("milliseconds, the middle of five; in brackets × the first line's")
    pairs = srgb_to_lab(np.random.default_rng(1).integers(0, 256, (100_000, 2, 3)))
    formula = _median(lambda: ciede2000(pairs[:, 0], pairs[:, 1]))
    plain = _median(lambda: np.sqrt(((pairs[:, 0] - pairs[:, 1]) ** 2).sum(axis=1)))
    times = f"{formula * 1000:.1f} ms, {formula / plain:.0f} × their plain distance in CIELAB"
    print(f"100,000 pairs of colours: CIEDE2000 {times}")


def _picture(side: int, count: int) -> tuple[np.ndarray, list[tuple[int, int, int]]]:
    """Patches of four cells by four with a tenth of the cells strewn between them."""
    draw = np.random.default_rng(side + count)
    patches = draw.integers(-1, count, (side // 4, side // 4)).repeat(4, axis=0).repeat(4, axis=1)
    strewn = draw.random(patches.shape) < 0.1
    cells = np.where(strewn, draw.integers(0, count, patches.shape), patches)
    return cells, [tuple(colour) for colour in draw.integers(20, 250, (count, 3)).tolist()]


def _median(job: Callable[[], object]) -> float:
    seconds = []
    for _ in range(5):
        begun = time.perf_counter()
        job()
        seconds.append(time.perf_counter() - begun)
    return statistics.median(seconds)


if __name__ == "__main__":
    main()
