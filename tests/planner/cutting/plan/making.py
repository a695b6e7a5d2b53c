"""Seeded cut jobs: plausible ones, and ones whose cheapest plan is known because nothing of any board is lost.

Sizes are in 1/64 in and money in 1/10000 of a dollar; sizes and prices are invented.
"""

from __future__ import annotations

import random

from planner.cutting.plan import CutJob, Part, Rules, StockBoard

WOODS = ("ash", "cherry", "walnut", "padauk")
BOARD_FOOT = 64 * 64 * 4 * 144
YIELDS = {4: 52, 5: 68, 8: 112}


def plausible(seed: int, woods: int = 2, tiles: int = 120) -> CutJob:
    """Tiles of one pitch and a few runs and borders for each wood, from some boards as a yard sells them."""
    rng = random.Random(f"plausible {seed}")
    pitch = rng.choice((32, 40, 48, 64))
    thickness = rng.choice((40, 48))
    rules = Rules(
        crosscut_kerf=rng.choice((6, 8)),
        rip_kerf=rng.choice((6, 8)),
        end_trim=rng.choice((16, 64)),
        edge_trim=rng.choice((4, 12)),
        grip=rng.choice((0, 128, 256)),
        longest_rip=rng.choice((0, 1536, 2304)),
        grid=16,
        keep_length=rng.choice((512, 1024)),
        keep_width=rng.choice((96, 160)),
        worth_area=100 * BOARD_FOOT,
    )
    share = rng.choice((0, 30, 60))
    parts, stock = [], []
    for wood in rng.sample(WOODS, woods):
        parts.append(Part(wood, pitch, thickness, pitch, rng.randint(tiles // 4, tiles), "tile"))
        for n in sorted(rng.sample(range(2, 9), rng.randint(1, 3))):
            parts.append(Part(wood, pitch, thickness, n * pitch, rng.randint(1, 9), "run"))
        if rng.random() < 0.5:
            parts.append(Part(wood, 2 * pitch, thickness, rng.randint(500, 900), 2, "border"))
        price = rng.randint(600, 1600) * 100
        for i in range(rng.randint(3, 6)):
            quarters = rng.choice((4, 4, 5))
            width, length = rng.randrange(384, 704, 8), rng.randrange(4000, 7600, 32)
            cost = price * width * length * quarters // BOARD_FOOT
            worth = share * price * quarters
            stock.append(StockBoard(f"{wood} {i}", wood, width, length, YIELDS[quarters], cost, worth))
    return CutJob(tuple(parts), tuple(stock), rules)


def known(seed: int) -> tuple[CutJob, int]:
    """A job and what its cheapest plan costs, in money units.

    Boards are put together from rough lengths, those from strips, those from parts, so that all of every board is
    parts and kerfs. A part and its kerfs take (length + kerf) by (width + kerf) of a board (length + kerf) by (width
    + kerf); boards cost in proportion to that, so no plan is cheaper than the parts' sum, and this one costs it. As
    many dearer boards of other sizes lie beside them.
    """
    rng = random.Random(f"known {seed}")
    cross, rip, grid = rng.choice((4, 6)), rng.choice((4, 6)), 10
    rules = Rules(crosscut_kerf=cross, rip_kerf=rip, end_trim=8, edge_trim=4, grid=grid)
    width = rng.choice((40, 50))
    across = rng.randint(2, 3)
    wide = across * (width + rip) - rip + 2 * rules.edge_trim
    parts: dict[int, int] = {}
    stock = []
    for i in range(2):
        along = 0
        for _ in range(rng.randint(1, 2)):
            rough = rng.randrange(30, 60) * grid
            along += rough + cross
            for _ in range(across):
                left = rough
                while left:
                    length = left if left < 160 else rng.choice((60, 120))
                    parts[length] = parts.get(length, 0) + 1
                    left -= min(length + cross, left)
        cost = along * (wide - 2 * rules.edge_trim + rip)
        stock.append(StockBoard(f"whole {i}", "ash", wide, along - cross + 2 * rules.end_trim, 60, cost))
    optimum = sum(board.cost for board in stock)
    for i in range(len(stock)):
        long, broad = rng.randrange(900, 2400), wide + rng.randrange(-20, 60)
        area = (long - 2 * rules.end_trim + cross) * (broad - 2 * rules.edge_trim + rip)
        stock.append(StockBoard(f"dear {i}", "ash", broad, long, 60, area + area // 4))
    wanted = tuple(Part("ash", width, 50, length, count) for length, count in sorted(parts.items()))
    return CutJob(wanted, tuple(stock), rules), optimum
