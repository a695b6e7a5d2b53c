"""What a shop book takes of the worker: `python -m tests.bench.shop_book`.

Processor time of the task in a child of its own, what of its engine it has to load included, beside the whole child's;
pages and memory; the middle of three. The aim is under 3 s for 16 by 16 squares and under 10 s for 64 by 64. A
reckoning of 16 by 16 is timed in the same child, so that a busy machine can be told. Printed, never asserted. A folder
after it keeps the papers there (`python -m tests.bench.shop_book OUT`).
"""

from __future__ import annotations

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 3
SIZES = {16: ("tiles", 17), 32: ("runs", 12), 64: ("runs", 12)}


def main() -> None:
    keep = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    with tempfile.TemporaryDirectory() as folder:
        os.environ["KERFSTEAD_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.support.plain_settings"
        (Path(folder) / "secret_key").write_text("k" * 60)
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        books = _books()
        print(f"{'':22}{'s':>6}{'whole':>7}{'pages':>7}{'KiB':>6}{'MB':>6}{'ms, a reckoning':>17}")
        for name, book in books.items():
            said = [
                _in_a_child(book, keep and keep / f"{name.replace(' ', '-').replace(',', '')}.pdf")
                for _ in range(ROUNDS)
            ]
            middle = {key: statistics.median(one[key] for one in said) for key in said[0]}
            print(
                f"{name:22}{middle['seconds']:6.2f}{middle['whole']:7.2f}{middle['pages']:7.0f}{middle['kib']:6.0f}{middle['mb']:6.0f}"
                f"{middle['reckoning']:17.0f}"
            )


def _books() -> dict[str, int]:
    """The numbers of books asked for, of plans with their cut plans and timetables, by what to call them."""
    from planner.measures import Length
    from shopapp.people.models import Member
    from tests.support import books

    owner = Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)
    asked = {}
    for side, (method, pitch) in SIZES.items():
        plan = books.whole(owner, books.a_lamp(side), each=10, method=method, pitch=Length.of_mm(pitch))
        for paper in ("A4", "letter"):
            asked[f"{side} by {side}, {paper}"] = books.book(owner, plan, paper).pk
    return asked


def _in_a_child(book: int, keep: Path | None) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.bench.shop_book", "--child", str(book), str(keep or "")]
    done = subprocess.run(command, capture_output=True, check=True, env={**os.environ, "OMP_NUM_THREADS": "1"})
    return json.loads(done.stdout.splitlines()[-1])


def _child(book: int, keep: str) -> None:
    import django

    django.setup()
    from shopapp.plans.book.paper import shop_book_pdf
    from shopapp.plans.models import ShopBook

    begun = time.process_time()
    rows = ShopBook.objects.select_related("plan__design", "sheet__plan", "timetable")
    pdf = shop_book_pdf(rows.get(pk=book))
    whole, memory = time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if keep:
        Path(keep).parent.mkdir(parents=True, exist_ok=True)
        Path(keep).write_bytes(pdf)
    import io

    import pikepdf

    with pikepdf.open(io.BytesIO(pdf)) as paper:
        pages = len(paper.pages)
    said = {
        "seconds": whole - begun,
        "whole": whole,
        "pages": pages,
        "kib": len(pdf) / 1024,
        "mb": memory,
        "reckoning": _reckoning(),
    }
    print(json.dumps(said))


def _reckoning() -> float:
    """Milliseconds of processor time a reckoning of the smallest board takes, the middle of nine."""
    from planner.measures import Length
    from shopapp.designs.models import PatternVersion
    from shopapp.plans.planning import reckon_board
    from shopapp.workshop.readers import the_workshop
    from tests.support.shop import board

    version, shop, took = PatternVersion.objects.get(width=16), the_workshop(), []
    for n in range(9):
        begun = time.process_time()
        reckon_board(version, board(pitch=Length.of_mm(15 + n)), shop)
        took.append(1000 * (time.process_time() - begun))
    return statistics.median(took)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--child"]:
        _child(int(sys.argv[2]), sys.argv[3])
    else:
        main()
