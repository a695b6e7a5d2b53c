"""What the page of the shorts takes of the server with 20,000 pieces and 20 kept plans: `python -m tests.bench.shorts`.

The middle of five, in milliseconds of processor time, for pictures of 16, 32 and 64 squares a side: asked again; after
a piece of the rack changed; with nothing at hand, as after a start. The aim is under 150 ms. Printed, never asserted.
"""

from __future__ import annotations

import os
import random
import statistics
import tempfile
import time
from pathlib import Path

PLANS = 20
SIDES = (16, 32, 64)
ADDRESSES = ("/plans/shorts/", "/plans/shorts/?longest=400", "/plans/shorts/?every=on")


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["KERFSTEAD_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.support.plain_settings"
        (Path(folder) / "secret_key").write_text("k" * 60)
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        from tests.bench.rack_lists import PIECES, fill

        owner = fill(PIECES)
        print(f"{'again':>7}{'rack changed':>14}{'nothing at hand':>17}   ms of processor")
        for side in SIDES:
            keep_plans(owner, side)
            report(owner, side)


def keep_plans(owner, side: int) -> None:
    """Twenty pictures by a dice with one seed, in runs as a drawing has them; those kept before are set aside."""
    from planner.measures import Length
    from planner.pattern import Pattern
    from shopapp.designs.models import Design, PatternVersion
    from shopapp.plans.actions import keep_plan
    from shopapp.workshop.readers import the_workshop
    from tests.support.shop import board

    Design.objects.update(set_aside=True)
    dice = random.Random(side)
    woods = ("walnut-black", "padauk", "beech", "birch-yellow", "sapele")
    for n in range(PLANS):
        rows = []
        for y in range(side):
            row: list[str | None] = []
            for x in range(side):
                edge = x in (0, side - 1) or y in (0, side - 1)
                row.append(
                    None if edge else row[-1] if row[-1] and dice.random() < 0.6 else dice.choice((*woods, None))
                )
            rows.append(row)
        design = Design.objects.create(name=f"Picture {side}, {n}", source="blank")
        text = Pattern.of(rows).to_text()
        version = PatternVersion.objects.create(design=design, number=1, pattern=text, height=side, width=side)
        pitch = Length.of_mm(17 if side == 16 else 12)
        keep_plan(who=owner, version=version, board=board(pitch=pitch), workshop=the_workshop())


def report(owner, side: int) -> None:
    from django.core.cache import cache
    from django.test import Client

    from planner.shorts import laying
    from shopapp.plans.shorts import planning, readers

    client = Client()
    client.force_login(owner)

    def rack_changed() -> None:
        planning._tonight.cache_clear()

    def nothing_at_hand() -> None:
        cache.clear()
        for kept in (planning._tonight, planning._wanted, readers._thumbnail, laying._runs, laying._sizes):
            kept.cache_clear()

    for address in ADDRESSES:
        client.get(address)
        again, changed, bare = (
            statistics.median(_timed(client, address, first) for _ in range(5))
            for first in (lambda: None, rack_changed, nothing_at_hand)
        )
        print(f"{again:7.0f}{changed:14.0f}{bare:17.0f}   {side} squares, {address}")


def _timed(client, address: str, first) -> float:
    first()
    begun = time.process_time()
    client.get(address)
    return (time.process_time() - begun) * 1000


if __name__ == "__main__":
    main()
