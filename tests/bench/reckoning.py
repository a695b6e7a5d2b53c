"""How long a reckoning takes: `python -m tests.bench.reckoning`.

Everything is measured in one run, interleaved, and set against the same run's sign of life (`/healthz`), so that a slow
or busy machine changes the milliseconds but hardly the ratios.
"""

from __future__ import annotations

import os
import random
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROUNDS = 15


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["KERFSTEAD_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.support.plain_settings"
        (Path(folder) / "secret_key").write_text("k" * 60)
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        _report(_timings())
        _queries()


def _timings() -> dict[str, list[float]]:
    from django.test import Client
    from django.urls import reverse

    from planner.measures import Length
    from shopapp.people.models import Member
    from shopapp.workshop.actions import change_settings
    from tests.support.shop import add_woods, typed_board

    owner = Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)
    change_settings(who=owner, title="Saw", changes={"longest_rip": Length.of_mm(6000)}, seen_version=0)
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk", "sapele", "beech")
    client = Client()
    client.force_login(owner)
    jobs: dict[str, Callable[[int], object]] = {"sign of life": lambda _: client.get("/healthz")}
    for side in (16, 64, 200):
        design = _design(side)
        for method in ("runs", "tiles"):
            address = reverse("plans:reckoning", args=[design])

            def ask(round_: int, address: str = address, method: str = method) -> object:
                # Another pitch each time, so that no answer comes from the cache.
                typed = typed_board(pitch=f"{15 + round_ / 100}", method=method)
                answer = client.get(address, typed, headers={"HX-Request": "true"})
                assert b"A price worth asking" in answer.content
                return answer

            jobs[f"{side} × {side}, {method}"] = ask
    taken: dict[str, list[float]] = {name: [] for name in jobs}
    for round_ in range(ROUNDS):
        for name, job in jobs.items():
            begun = time.perf_counter()
            job(round_)
            taken[name].append(time.perf_counter() - begun)
    return taken


def _queries() -> None:
    """Queries a page with the designs so far, and with a hundred more."""
    from django.core.cache import cache
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext
    from django.urls import reverse

    from shopapp.designs.models import Design
    from shopapp.people.models import Member

    client = Client()
    client.force_login(Member.objects.get())
    first = Design.objects.order_by("pk").first()
    addresses = {
        "start": reverse("home:start"),
        "designs": reverse("designs:designs"),
        "reckoning": reverse("plans:reckoning", args=[first.pk]),
        "plans": reverse("plans:plans"),
        "woods": reverse("lumber:woods"),
    }

    def count(address: str) -> int:
        cache.clear()
        with CaptureQueriesContext(connection) as taken:
            assert client.get(address).status_code == 200
        return len(taken)

    few = Design.objects.count()
    with_few = {name: count(address) for name, address in addresses.items()}
    for _ in range(100):
        _design(16)
    print(f"\n{'queries a page':22}{few:>4} designs{few + 100:>8} designs")
    for name, address in addresses.items():
        print(f"{name:22}{with_few[name]:12}{count(address):16}")


def _design(side: int) -> int:
    from planner.pattern import Pattern
    from shopapp.designs.models import Design, PatternVersion

    dice = random.Random(side)
    woods = [None, "walnut-black", "birch-yellow", "padauk", "sapele", "beech"]
    pattern = Pattern.of([[dice.choice(woods) for _ in range(side - 2)] for _ in range(side - 2)]).padded(1, 1, 1, 1)
    design = Design.objects.create(name=f"{side} square")
    PatternVersion.objects.create(
        design=design, number=1, pattern=pattern.to_text(), height=pattern.height, width=pattern.width
    )
    return design.pk


def _report(taken: dict[str, list[float]]) -> None:
    life = statistics.median(taken["sign of life"])
    print(f"{'':22}{'median ms':>10}{'worst ms':>10}{'× sign of life':>16}")
    for name, seconds in taken.items():
        middle = statistics.median(seconds)
        print(f"{name:22}{middle * 1000:10.1f}{max(seconds) * 1000:10.1f}{middle / life:16.1f}")


if __name__ == "__main__":
    main()
