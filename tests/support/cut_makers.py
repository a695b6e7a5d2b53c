"""Cut jobs out of seeds: realistic ones of every size a picture board has, and ones whose cheapest plan is known.

Lengths are in 1/64 in, money in 1/10000 of a dollar; sizes, prices and settings are inventions in plausible ranges.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from itertools import groupby

from planner.cutting.plan import CutJob, CutPlanError, Part, Rules, StockBoard, first_cut_plan

BOARD_FOOT = 64 * 64 * 4 * 144  # of width x length x quarters
YIELDS = {4: 52, 5: 68, 6: 84, 8: 112}  # the greatest finished thickness by the quarters a board is sold in
# What a wood costs for a board foot, about.
VALUES = {
    "ash": 65_000, "hard maple": 72_000, "white oak": 92_000, "cherry": 90_000,
    "yellowheart": 125_000, "walnut": 118_000, "purpleheart": 152_000, "padauk": 158_000,
}  # fmt: skip
# Rows and columns of the picture, one for each seed in turn; 8 by 8 to 100 by 100.
PICTURES = (
    *((8, 8),) * 6, *((16, 16),) * 8, *((24, 20),) * 5, *((32, 32),) * 6, *((48, 40),) * 3, *((64, 64),) * 2,
    *((100, 100),) * 2,
)  # fmt: skip


def realistic(seed: int, picture: tuple[int, int] | None = None) -> CutJob:
    """A picture of patches of two to five woods with borders about it, and boards as they stand in a shop's rack.

    The first 32 seeds are pictures of every size; ``picture`` asks for another one.
    """
    rng = random.Random(f"realistic {seed}")
    rows, columns = picture or PICTURES[seed % len(PICTURES)]
    rules = _rules(rng)
    pitch = rng.choice([one for one in (32, 40, 48, 56, 64) if one == 32 or max(rows, columns) * one <= 2100])
    woods = rng.sample(sorted(VALUES), rng.choice((2, 3, 3, 3, 4, 4, 5)))
    thickness = rng.choice((40, 48, 48, 52))
    counts = _cells(rng, rows, columns, woods, runs=rows * columns < 4000 and rng.random() < 0.75)
    parts = [
        Part(wood, pitch, thickness, n * pitch, count, "tile" if n == 1 else "run")
        for (wood, n), count in sorted(counts.items(), key=lambda one: (one[0][0], -one[0][1]))
    ]
    parts += _borders(rng, rows * pitch, columns * pitch, pitch, thickness, woods)
    woods = [wood for wood in woods if any(part.wood == wood for part in parts)]
    if rules.longest_rip:
        # The saw is set up for the longest border there is.
        longest = max(part.length for part in parts) + rules.crosscut_kerf + rules.grip
        rules = replace(rules, longest_rip=max(rules.longest_rip, -(-longest // rules.grid) * rules.grid))
    share = rng.choice((0, 0, 30, 30, 50, 60))
    stock: list[StockBoard] = []
    for wood in woods:
        stock += _rack(rng, wood, [p for p in parts if p.wood == wood], rules, share)
    return CutJob(tuple(parts), tuple(stock), rules)


def _rules(rng: random.Random) -> Rules:
    return Rules(
        crosscut_kerf=rng.choice((6, 8)),
        rip_kerf=rng.choice((6, 8)),
        end_trim=rng.choice((16, 32, 64)),
        edge_trim=rng.choice((4, 8, 12)),
        grip=rng.choice((0, 128, 192, 256)),
        longest_rip=rng.choice((0, 1536, 2304, 3072)),
        grid=16,
        keep_length=rng.choice((512, 768, 1024)),
        keep_width=rng.choice((96, 128, 160)),
        worth_area=100 * BOARD_FOOT,
    )


def _cells(rng: random.Random, rows: int, columns: int, woods: list[str], runs: bool) -> Counter[tuple[str, int]]:
    """Pieces by wood and number of cells: patches about random middles; neighbours in a row are one piece or not."""
    middles = [
        (rng.uniform(0, rows), rng.uniform(0, columns), wood, rng.uniform(0.5, 2))
        for wood in woods
        for _ in range(rng.randint(1, 4))
    ]
    longest = rng.randint(3, 8)
    counts: Counter[tuple[str, int]] = Counter()
    for row in range(rows):
        cells = [
            min(middles, key=lambda m: m[3] * ((row - m[0]) ** 2 + (column - m[1]) ** 2) + rng.uniform(0, rows))[2]
            for column in range(columns)
        ]
        for wood, group in groupby(cells):
            left = len(list(group))
            while left:
                made = min(left, longest) if runs else 1
                counts[wood, made] += 1
                left -= made
    return counts


def _borders(rng: random.Random, high: int, wide: int, pitch: int, thickness: int, woods: list[str]) -> list[Part]:
    """Rings about the picture, each of one wood, and top and bottom borders outside them."""
    parts = []
    for _ in range(rng.randint(1, 2)):
        wood = rng.choice(woods)
        high, wide = high + 2 * pitch, wide + 2 * pitch
        parts += [
            Part(wood, pitch, thickness, wide, 2, "ring"),
            Part(wood, pitch, thickness, high - 2 * pitch, 2, "ring"),
        ]
    if rng.random() < 0.8:
        wood, deep = rng.choice(woods), rng.choice((80, 96, 128))
        parts += [Part(wood, deep, thickness, length, 2, "border") for length in (wide + 2 * deep, high)]
    return parts


def _rack(rng: random.Random, wood: str, parts: list[Part], rules: Rules, share: int) -> list[StockBoard]:
    """Boards enough for the ``parts`` of one wood and some more, a few of them twins."""
    value = VALUES[wood] * rng.randint(90, 110) // 100
    wanted = sum((p.width + rules.rip_kerf) * (p.length + rules.crosscut_kerf) * p.count for p in parts)
    wanted = wanted * rng.randint(160, 320) // 100
    boards: list[StockBoard] = []
    least = rng.randint(2, 5 + min(sum(part.count for part in parts) // 60, 6))
    while True:
        area = sum(board.width * board.length for board in boards)
        if len(boards) >= least and area >= wanted and _enough(parts, boards, rules):
            return boards
        quarters = rng.choice((4, 4, 4, 4, 4, 5, 8))
        width, length = rng.randrange(256, 640, 8), rng.randrange(2336, 7680, 32)
        price = value * (100 + 5 * (quarters - 4)) * rng.randint(90, 115) // 10_000
        cost = (price * width * length * quarters + BOARD_FOOT // 2) // BOARD_FOOT
        for _ in range(rng.choice((1, 1, 1, 2))):
            name = f"{wood} {len(boards) + 1}"
            boards.append(StockBoard(name, wood, width, length, YIELDS[quarters], cost, share * value * quarters))


def _enough(parts: list[Part], boards: list[StockBoard], rules: Rules) -> bool:
    try:
        first_cut_plan(CutJob(tuple(parts), tuple(boards), rules))
    except CutPlanError:
        return False
    return True


def known_optimum(seed: int, boards: int = 0) -> tuple[CutJob, int]:
    """A job and what its cheapest plan costs, in money units.

    Built backwards: ``boards`` (two to five where it is not said) are put together from rough lengths, those from
    strips of one or two widths, those from parts, so that all of every board is parts and kerfs. A part and its kerfs
    take (length + kerf) by (width + kerf) of a board (length + kerf) by (width + kerf). No board costs less than in
    proportion to that and no offcut is worth anything, so no plan is cheaper than the parts' sum, and this one costs
    that. Dearer boards of other sizes lie beside them.
    """
    rng = random.Random(f"known optimum {seed}")
    cross, rip, grid = rng.choice((4, 6, 8)), rng.choice((4, 6, 8)), 16
    rules = Rules(crosscut_kerf=cross, rip_kerf=rip, end_trim=rng.choice((0, 32)), edge_trim=8, grid=grid)
    thickness = 48
    widths = rng.sample((32, 40, 48, 64, 96), rng.randint(1, 2))
    lengths = sorted(rng.sample(range(40, 480, 8), rng.randint(2, 4)))
    wanted: Counter[tuple[int, int]] = Counter()
    stock: list[StockBoard] = []
    for i in range(boards or rng.randint(2, 5)):
        strips = rng.choices(widths, k=rng.randint(2, 6))
        across = sum(width + rip for width in strips)
        along = 0
        for _ in range(rng.randint(1, 3)):
            rough = rng.randrange(50, 130) * grid
            along += rough + cross
            for width in strips:
                for length in _whole_strip(rng, rough, lengths, cross):
                    wanted[width, length] += 1
        size = (across - rip + 2 * rules.edge_trim, along - cross + 2 * rules.end_trim)
        stock.append(StockBoard(f"whole {i + 1}", "ash", *size, 52, across * along))
    optimum = sum(board.cost for board in stock)
    for i, board in enumerate(tuple(stock)):
        wide, long = board.width + rng.randrange(-24, 64), board.length + rng.randrange(-640, 640)
        area = (wide - 2 * rules.edge_trim + rip) * (long - 2 * rules.end_trim + cross)
        stock.append(StockBoard(f"dear {i + 1}", "ash", wide, long, 52, area + area * rng.randint(5, 30) // 100))
    rng.shuffle(stock)
    parts = tuple(Part("ash", w, thickness, length, count) for (w, length), count in sorted(wanted.items()))
    return CutJob(parts, tuple(stock), rules), optimum


def _whole_strip(rng: random.Random, long: int, lengths: list[int], kerf: int) -> list[int]:
    """Parts of the ``lengths`` one after another, the last one whatever is left, and nothing of the strip over."""
    made = []
    left = long
    while True:
        fitting = [length for length in lengths if left - length - kerf >= lengths[0]]
        if not fitting or left in lengths:
            return [*made, left]
        made.append(rng.choice(fitting))
        left -= made[-1] + kerf
