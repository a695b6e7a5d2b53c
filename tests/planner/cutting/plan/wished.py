"""Seeded jobs of the size of a small board, each with most of what a maker may wish or a rack may hold."""

from __future__ import annotations

import random
from dataclasses import replace

from planner.cutting.plan import CutJob
from tests.planner.cutting.plan.making import plausible


def wished(seed: int) -> CutJob:
    """A plausible job with knots, shades, bound parts, pairs, boards to resaw and ways; some cannot be made."""
    rng = random.Random(f"wished {seed}")
    job = plausible(seed, woods=2, tiles=60)
    rules = replace(
        job.rules,
        shortest_rough=rng.choice((0, 500)),
        snipe=rng.choice((0, 40)),
        over_width=rng.choice((0, 4)),
        over_length=rng.choice((0, 4)),
    )
    stock = []
    for i, board in enumerate(job.stock):
        bad, at = [], 0
        for _ in range(rng.choice((0, 0, 1, 2))):
            begin = at + rng.randrange(2500)
            at = begin + rng.choice((1, 3, 40, 300))
            bad.append((begin, at))
        layers = rng.choice((0, 48 if board.yields > 60 else 0))
        stock.append(replace(board, bad=tuple(bad), shade=("dark", "light", "")[i % 3], resawn=layers))
    parts = []
    for part in job.parts:
        shade, bound = rng.choice(("", "", "", "dark")), rng.choice(("", "", "", "row", "rim"))
        part = replace(part, shade=shade, bound=bound)
        if rng.random() < 0.3 and part.count > 2:
            length = 2 * part.length + rules.over_length + rules.crosscut_kerf
            part = replace(part, length=length, count=part.count // 2, pieces=(part.length, part.length))
        parts.append(part)
    # One size twice: by itself, and as part of a pair, of a shade or of a row.
    parts.append(replace(parts[0], pieces=(), shade="", bound="", name="again"))
    ways = tuple((wood, rng.choice(("face", "either"))) for wood in sorted({part.wood for part in parts}))
    return CutJob(tuple(parts), tuple(stock), rules, ways)
