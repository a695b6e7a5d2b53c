"""Seeded jobs small enough that every plan can be tried (``exhaustive``), each with the wishes named."""

from __future__ import annotations

import random
from dataclasses import replace

from planner.cutting.plan import CutJob, Part, Rules, StockBoard

WISHES = ("bad", "shade", "bound", "pieces", "resaw", "either", "edge", "limits")


def small(seed: int, *wishes: str) -> CutJob:
    """A job of one wood, of two or three boards and a few parts; ``wishes`` are of ``WISHES``."""
    rng = random.Random(f"small {seed} {wishes}")
    rules = Rules(
        crosscut_kerf=rng.choice((2, 3)),
        rip_kerf=rng.choice((2, 3)),
        end_trim=rng.choice((0, 4)),
        edge_trim=rng.choice((0, 2)),
        snipe=rng.choice((0, 0, 3)),
        grip=rng.choice((0, 6)),
        longest_rip=rng.choice((0, 60)),
        grid=10,
        keep_length=rng.choice((20, 35)),
        keep_width=12,
        worth_area=100,
        over_width=rng.choice((0, 1)),
        over_length=rng.choice((0, 1)),
    )
    if "limits" in wishes:
        rules = replace(rules, shortest_rough=rng.choice((30, 45)), narrowest=8, thinnest=7)
    sections = [(16, 10), (12, 8)] if rng.random() < 0.5 else [(16, 10)]
    parts = [
        Part("ash", *rng.choice(sections), rng.randint(12, 40), rng.randint(1, 3), f"part {i}")
        for i in range(rng.randint(1, 3))
    ]
    if "shade" in wishes:
        parts[0] = replace(parts[0], shade="dark")
    if "bound" in wishes:
        parts[-1] = replace(parts[-1], bound="row", count=2)
    if "pieces" in wishes:
        pieces = (rng.randint(8, 14), rng.randint(8, 14))
        length = sum(pieces) + rules.over_length + rules.crosscut_kerf
        parts.append(Part("ash", 16, 10, length, rng.randint(1, 2), "pair", pieces=pieces))
        parts.append(Part("ash", 16, 10, length, 1, "single"))
    stock = []
    for i in range(rng.randint(2, 3)):
        width, length = rng.randint(20, 60), rng.randint(60, 100)
        board = StockBoard(f"{i}", "ash", width, length, rng.choice((10, 16, 24)), width * length // 10, 0)
        board = replace(board, worth=rng.choice((0, 3, 6)), cost=board.cost * rng.choice((9, 10, 12)) // 10)
        if "resaw" in wishes:
            board = replace(board, yields=24, resawn=10)
        if "shade" in wishes:
            board = replace(board, shade=("dark", "light", "")[i])
        if "bad" in wishes and rng.random() < 0.8:
            begin = rng.randint(0, length - 10)
            bad = [(begin, begin + rng.choice((1, 2, 6, 15)))]
            if rng.random() < 0.4:
                again = bad[0][1] + rng.randint(0, 20)
                bad.append((again, again + rng.choice((1, 4))))
            board = replace(board, bad=tuple(bad))
        stock.append(board)
    ways = tuple(("ash", wish) for wish in wishes if wish in ("either", "edge"))
    return CutJob(tuple(parts), tuple(stock), rules, ways)
