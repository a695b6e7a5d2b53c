"""What every list of the rack takes of the server with 20,000 pieces on it: `python -m tests.bench.rack_lists`.

The middle of seven, in milliseconds of processor time and of the clock, with the count of queries. The aim is under
150 ms. Printed, never asserted.
"""

from __future__ import annotations

import os
import random
import statistics
import sys
import tempfile
import time
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

PIECES = 20_000
# Deliveries, each with a line of every wood.
LOTS = 60
WOODS = ("walnut-black", "padauk", "sycamore", "beech", "birch-yellow", "sapele")
PLACES = ("loft", "rack 1", "rack 2", "yard", "bench", "")
LISTS = (
    "/woods/rack/",
    "/woods/rack/?page=100",
    "/woods/rack/?page=200",
    "/woods/rack/?wood=walnut-black&least=400",
    "/woods/rack/?free=on",
    "/woods/rack/?free=on&page=150",
    "/woods/rack/?place=loft&page=20",
    "/woods/rack/?mark=777",
    "/woods/rack/?to=any&page=30",
    "/woods/rack/?fit=now&page=50",
    "/woods/rack/worth/",
    "/woods/rack/promised/",
    "/woods/rack/fit/",
    "/woods/rack/short/",
    "/woods/rack/short/?page=9",
    "/woods/rack/labels/?place=loft",
    "/woods/stocktakes/",
    "/woods/stocktakes/1/",
    "/woods/stocktakes/1/?page=600",
    "/woods/stocktakes/1/?show=counted&page=40",
    "/woods/stocktakes/1/close/",
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["KERFSTEAD_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.support.plain_settings"
        (Path(folder) / "secret_key").write_text("k" * 60)
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        owner = fill(PIECES)
        report(owner, sys.argv[1:] or LISTS)


def fill(count: int):
    """An owner, and ``count`` pieces straight into the tables: sizes, woods and places by a dice with one seed."""
    from planner.measures import Length
    from shopapp.lumber.models import Demand, Lot, StockPiece
    from shopapp.people.models import Member
    from tests.support.rack import delivery, line, supplier
    from tests.support.shop import add_woods

    owner = Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)
    add_woods(*WOODS)
    yard = supplier()
    for n in range(LOTS):
        facts = {"fit_on": date(2026, 1, 1) + timedelta(days=3 * n)} if n % 4 else {}
        delivery(owner, *(line(wood, facts=facts) for wood in WOODS), seller=yard)
    lots: dict[str, list[Lot]] = {}
    for lot in Lot.objects.all():
        lots.setdefault(lot.wood, []).append(lot)
    wanted = [Demand.objects.create(label=f"Board {n}", key=f"bench:{n}") for n in range(12)]
    dice = random.Random(20_000)
    StockPiece.objects.bulk_create(
        [
            StockPiece(
                mark=f"{(wood := dice.choice(WOODS))[0].upper()}{n}",
                lot=dice.choice(lots[wood]),
                wood=wood,
                thickness=Length.of_mm(dice.choice((20, 27, 34, 52))),
                width=Length.of_mm(dice.randint(60, 260)),
                length=Length.of_mm(dice.randint(80, 3000)),
                place=dice.choice(PLACES),
                worth=Decimal(dice.randint(50, 9000)) / 100,
                demand=dice.choice(wanted) if dice.random() < 0.2 else None,
                set_aside="still wet" if dice.random() < 0.05 else "",
            )
            for n in range(len(WOODS) * LOTS + 1, count + 1)
        ],
        batch_size=2000,
    )
    _take_stock(owner)
    return owner


def _take_stock(owner) -> None:
    """A stocktake half done: of ten thousand pieces one in a hundred is missing and one in fifty lies elsewhere."""
    from shopapp.lumber.counting.actions import begin_stocktake
    from shopapp.lumber.models import StockPiece, StocktakeCount

    begun = begin_stocktake(who=owner)
    pieces = StockPiece.objects.order_by("pk")[: PIECES // 2]
    StocktakeCount.objects.bulk_create(
        [
            StocktakeCount(
                stocktake=begun,
                piece=piece,
                piece_version=piece.edit_version,
                found=n % 100 != 0,
                moved=n % 50 == 1,
                place="bench" if n % 50 == 1 else "",
                counted_by=owner,
            )
            for n, piece in enumerate(pieces)
        ],
        batch_size=2000,
    )


def report(owner, addresses) -> None:
    from django.db import connection
    from django.test import Client

    client = Client()
    client.force_login(owner)
    print(f"{'ms of processor':>16}{'ms by the clock':>17}{'queries':>9}   {date.today():%b %Y}, {PIECES:,} pieces")
    for address in addresses:
        taken: list[str] = []
        with connection.execute_wrapper(lambda run, sql, *given, kept=taken: kept.append(sql) or run(sql, *given)):
            answer = client.get(address)
        body = b"".join(answer.streaming_content) if answer.streaming else answer.content
        spent = [_timed(client, address) for _ in range(7)]
        worked, waited = (statistics.median(one) for one in zip(*spent, strict=True))
        told = "" if answer.status_code == 200 else f"  answered {answer.status_code}"
        print(f"{worked:16.0f}{waited:17.0f}{len(taken):9}   {address} ({len(body) // 1024} KiB){told}")


def _timed(client, address: str) -> tuple[float, float]:
    worked, waited = time.process_time(), time.perf_counter()
    answer = client.get(address)
    if answer.streaming:
        b"".join(answer.streaming_content)
    return (time.process_time() - worked) * 1000, (time.perf_counter() - waited) * 1000


if __name__ == "__main__":
    main()
