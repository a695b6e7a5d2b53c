"""Boards out of seeds with all that a cut plan can say of one: for drawings, which must bear the odd ones too."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass

from planner.cutting.fromshop import unit_of
from planner.cutting.plan import BoardCut, CutFile, CutJob, Part, RoughCut, Rules, StockBoard, StripCut, faults_of
from planner.cutting.plan.worth import settle
from planner.measures import Length

# Units of a millimetre or an inch, what the shop writes, and how many of them make about a millimetre.
UNITS = (("1/10 mm", "mm", 10), ("1/64 in", "in", 2.52))
WOODS = ("walnut-black", "sycamore", "padauk", "beech")


@dataclass(frozen=True)
class Drawn:
    """A board of a job whose plan cuts it; the plan is sound."""

    file: CutFile
    writes: str

    @property
    def cut(self) -> BoardCut:
        return self.file.plan.boards[0]

    @property
    def board(self) -> StockBoard:
        return self.file.job.stock[0]

    @property
    def rules(self) -> Rules:
        return self.file.job.rules

    @property
    def unit(self) -> Length:
        return unit_of(self.file.unit)


def drawn_board(seed: int) -> Drawn:
    """One board; every eighth is full of tiny tiles, every eighth of forty strips."""
    rng = random.Random(f"drawn {seed}")
    unit, writes, mm = UNITS[seed % 2]

    def units(low: float, high: float) -> int:
        return max(round(rng.uniform(low, high) * mm), 1)

    tiny, many = seed % 8 == 3, seed % 8 == 6
    rules = Rules(
        crosscut_kerf=units(1.6, 3.2),
        rip_kerf=units(1.6, 3.2),
        end_trim=rng.choice((0, units(10, 40))),
        edge_trim=rng.choice((0, units(2, 6))),
        snipe=rng.choice((0, units(10, 40))),
        grip=rng.choice((0, units(50, 120))),
        grid=1,
        keep_length=units(200, 320),
        keep_width=units(20, 40),
        worth_area=10**6,
        over_width=rng.choice((0, units(0.4, 0.8))),
        over_length=rng.choice((0, units(0.4, 0.8))),
    )
    length, width = units(500, 3600), units(60, 320)
    if many:
        width = round(40 * 9 * mm)
    bad = ()
    if rng.random() < 0.4:
        at = units(100, length / mm * 0.8)
        bad = ((at, at + units(5, 120)),)
    mark = rng.choice(("WAL12", "B7", "SYCAMORE104"))
    wood = rng.choice(WOODS)
    resawn = rng.random() < 0.3
    board = StockBoard(
        mark, wood, width, length, 20 * round(mm), 5000, worth=400, bad=bad, resawn=8 * round(mm) if resawn else 0
    )
    smallest = 4 if tiny else 18
    rough: list[RoughCut] = []
    at, end = rules.end_trim, length - rules.end_trim
    while at < end:
        clear = min([begin for begin, past in bad if past > at] + [end])
        if any(begin <= at < max(past, begin + rules.crosscut_kerf) for begin, past in bad):
            at = max(max(past, begin + rules.crosscut_kerf) for begin, past in bad)
            continue
        long = min(units(80, 900), clear - at)
        if clear - at - long < units(20, 60):
            long = clear - at
        made = _rough(rng, at, long, width, rules, mm, smallest, many, resawn and rng.random() < 0.5)
        if made is not None and made.length > 0:
            rough.append(made)
        at += long + rules.crosscut_kerf
    plan = settle([BoardCut(mark, tuple(rough))], {mark: board}, rules)
    parts = tuple(_wanted(wood, rough, rules))
    file = CutFile(CutJob(parts, (board,), rules), plan, unit, "1/10000 of the shop's currency")
    assert not faults_of(plan, file.job), faults_of(plan, file.job)
    return Drawn(file, writes)


def _rough(rng, at, long, width, rules, mm, smallest, many, resawn) -> RoughCut | None:
    if rng.random() < 0.2:
        return RoughCut(long, 0, (), at)
    thickness = round((7 if resawn else 18) * mm)
    layers = [_strips(rng, long, width, rules, mm, smallest, many) for _ in range(2 if resawn else 1)]
    if not layers[0]:
        return RoughCut(long, 0, (), at)
    return RoughCut(long, thickness, layers[0], at, resawn, layers[1] if resawn else ())


def _strips(rng, long, width, rules, mm, smallest, many) -> tuple[StripCut, ...]:
    left = width - 2 * rules.edge_trim
    found: list[StripCut] = []
    room = long - (rules.snipe + rules.crosscut_kerf if rules.snipe else 0) - max(rules.grip, rules.snipe)
    while len(found) < 40 and rng.random() < 0.97:
        wide = round(5 * mm) if many else max(round(rng.choice((smallest, 20, 20, 40)) * mm), 1)
        if left < wide + rules.over_width:
            break
        left -= wide + rules.over_width + rules.rip_kerf
        if found and found[-1].width == wide and rng.random() < 0.5:
            found.append(found[-1])
            continue
        found.append(_strip(rng, wide, room, rules, mm, smallest))
    return tuple(found)


def _strip(rng, wide, room, rules, mm, smallest) -> StripCut:
    sizes = sorted({max(round(smallest * n * mm) - rng.choice((0, 1)), 1) for n in (1, 1, 2, 3, 7)}, reverse=True)
    parts, pieces = [], []
    for size in sizes:
        slot = size + rules.over_length + rules.crosscut_kerf
        count = min(room // slot, rng.choice((0, 1, 3, 14, 60)))
        if count > 0:
            room -= slot * count
            parts.append((size, count))
    pair = (round(smallest * 3 * mm), round(smallest * 2 * mm))
    whole = sum(pair) + rules.over_length + rules.crosscut_kerf
    if (
        rng.random() < 0.3
        and room >= whole + rules.over_length + rules.crosscut_kerf
        and all(whole != s for s, _ in parts)
    ):
        parts.append((whole, 1))
        pieces.append((pair, 1))
        parts.sort(reverse=True)
    return StripCut(wide, tuple(parts), tuple(pieces))


def _wanted(wood: str, rough: list[RoughCut], rules: Rules):
    """As many parts of every size as are cut."""
    counts: Counter[tuple[int, int, int, tuple[int, ...]]] = Counter()
    for one in rough:
        for strip in (*one.strips, *one.under):
            whole = dict(strip.parts)
            for lengths, times in strip.pieces:
                size = sum(lengths) + (len(lengths) - 1) * (rules.over_length + rules.crosscut_kerf)
                counts[strip.width, one.thickness, size, lengths] += times
                whole[size] -= times
            for size, count in whole.items():
                counts[strip.width, one.thickness, size, ()] += count
    for (width, thickness, size, lengths), count in (+counts).items():
        yield Part(wood, width, thickness, size, count, "tile", pieces=lengths)
