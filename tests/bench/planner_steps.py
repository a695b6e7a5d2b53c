"""How the steps of the route share the time: `python -m tests.bench.planner_steps`."""

from __future__ import annotations

import io
import random
import statistics
import time
from decimal import Decimal

import numpy as np
from PIL import Image

from planner.build import BoardSpec, build
from planner.cutting import lumber_need
from planner.difference import difference
from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.mending import hints_of
from planner.pattern import Pattern
from planner.picture import read_picture
from planner.pricing import Rates, Terms
from planner.reckoning import WoodOffer, reckon
from planner.record import to_record
from planner.shop import Shop, StockSize
from planner.woods import WOODS

SHOP = Shop(longest_rip=Length.of_mm(6000))
STOCK = StockSize(Length.of_mm(32), Length.of_mm(150))
OFFERS = {
    name: WoodOffer(name, wood.name, wood.finished_rgb, "ring", Decimal(12), "bf", STOCK)
    for name, wood in WOODS.items()
}
SPEC = BoardSpec("wall", Length.of_mm(17), Length.of_mm(20), Length.of_mm(51), Length.of_mm(34), "tiles", 1, "sycamore")


def main() -> None:
    print(
        f"{'side':>6}{'read':>9}{'build':>9}{'lumber':>9}{'reckon':>9}{'record':>9}{'hints':>9}{'differ':>9}"
        "  ms; in brackets × the 16-square's"
    )
    base: list[float] = []
    for side in (16, 64, 200):
        pattern, picture = _pattern(side), _picture(side)
        board = build(pattern, SPEC, "tiles", SHOP)
        stock = {name: offer.stock for name, offer in OFFERS.items()}
        reckoning = reckon(pattern, SPEC, SHOP, OFFERS, DEFAULT_TIMES, Rates(), Terms())
        taken = [
            _median(lambda picture=picture: read_picture(picture)),
            _median(lambda pattern=pattern: build(pattern, SPEC, "tiles", SHOP)),
            _median(lambda board=board, stock=stock: lumber_need(board, SHOP, stock)),
            _median(lambda pattern=pattern: reckon(pattern, SPEC, SHOP, OFFERS, DEFAULT_TIMES, Rates(), Terms())),
            _median(lambda reckoning=reckoning: to_record(reckoning)),
            _median(lambda pattern=pattern: hints_of(pattern)),
            _median(lambda pattern=pattern: difference(pattern, pattern.shifted(1, 2))),
        ]
        base = base or taken
        print(f"{side:6}" + "".join(f"{t * 1000:6.1f}({t / b:.0f})" for t, b in zip(taken, base, strict=True)))


def _median(job) -> float:
    seconds = []
    for _ in range(7):
        begun = time.perf_counter()
        job()
        seconds.append(time.perf_counter() - begun)
    return statistics.median(seconds)


def _pattern(side: int) -> Pattern:
    dice = random.Random(side)
    cells = [[dice.choice([None, "walnut-black", "padauk", "beech"]) for _ in range(side - 2)] for _ in range(side - 2)]
    return Pattern.of(cells).padded(1, 1, 1, 1)


def _picture(side: int) -> bytes:
    cells = np.random.default_rng(side).integers(0, 256, (side, side, 3), dtype=np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(cells.repeat(8, axis=0).repeat(8, axis=1)).save(buffer, "PNG")
    return buffer.getvalue()


if __name__ == "__main__":
    main()
