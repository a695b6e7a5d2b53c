"""How long a step of a stroke takes at the bench: `python -m tests.bench.bench_strokes`.

A hand in a real browser draws over a pattern of 128 by 128; the browser's own trace says what each step cost: its
script, and everything its page did until the next step (script, style, layout, paint, and the laying of pixels).
The aim is at most 8 ms for script and paint at the 95th percentile. Printed, never asserted.
"""

from __future__ import annotations

import json
import os
import random
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path

SIDE = 128
STROKES, STEPS = 12, 30
# Between two steps, in milliseconds: longer than any step, so that none runs into the next.
APART = 24
TRACED = ["toplevel", "devtools.timeline", "disabled-by-default-devtools.timeline"]
PIXELS = {"RasterTask", "ImageDecodeTask"}


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["KERFSTEAD_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.support.plain_settings"
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
        (Path(folder) / "secret_key").write_text("k" * 60)
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        with _served() as base:
            for size, phone in (((1440, 900), False), ((390, 844), True)):
                _report(f"{size[0]} by {size[1]}", _trace(base, size, phone))


@contextmanager
def _served() -> Iterator[str]:
    from django.conf import settings
    from django.contrib.staticfiles.handlers import StaticFilesHandler
    from django.test.testcases import LiveServerThread

    settings.ALLOWED_HOSTS = ["127.0.0.1"]
    thread = LiveServerThread("127.0.0.1", StaticFilesHandler)
    thread.daemon = True
    thread.start()
    thread.is_ready.wait()
    yield f"http://127.0.0.1:{thread.port}"
    thread.terminate()


def _bench() -> tuple[str, str]:
    """A session and the address of a bench with a pattern of runs, single tiles and background."""
    from django.test import Client

    from planner.pattern import Pattern
    from shopapp.designs.actions import add_drawing
    from shopapp.designs.models import Design
    from shopapp.people.models import Member
    from tests.support.shop import add_woods

    woods = ["sycamore", "walnut-black", "birch-yellow", "padauk", "sapele", "beech"]
    owner = Member.objects.filter(username="mara").first()
    if owner is None:
        owner = Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)
        add_woods(*woods)
    dice = random.Random(7)
    rows = []
    for _ in range(SIDE):
        row: list[str | None] = []
        while len(row) < SIDE:
            row += [dice.choice([None, *woods])] * dice.choice([1, 1, 2, 3, 5, 8])
        rows.append(row[:SIDE])
    design = Design.objects.create(name="Large", source="pattern", rights="own")
    add_drawing(who=owner, design=design, pattern=Pattern.of(rows), made="brought")
    client = Client()
    client.force_login(owner)
    return client.cookies["sessionid"].value, f"/designs/{design.pk}/bench/"


def _trace(base: str, size: tuple[int, int], phone: bool) -> list[dict]:
    from django.conf import settings
    from playwright.sync_api import sync_playwright

    from tests.support.bench import at_the_bench, middle_of
    from tests.support.browser import ARGUMENTS, CHROMIUM

    session, path = _bench()
    dice = random.Random(11)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        context = browser.new_context(
            base_url=base,
            viewport={"width": size[0], "height": size[1]},
            device_scale_factor=3 if phone else 1,
        )
        context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": base}])
        page = context.new_page()
        page.goto(path)
        at_the_bench(page)
        page.wait_for_timeout(2500)
        browser.start_tracing(page=page, categories=TRACED)
        for stroke in range(STROKES):
            page.locator("#bench-planks li").nth(1 + stroke % 6).locator("label").click()
            page.evaluate("scrollTo(0, 0)")
            row, column = dice.randrange(8, SIDE - 8), dice.randrange(1, SIDE - STEPS * 3)
            # Where to go is asked before: nothing but the hand is at work in between.
            way = [middle_of(page, row + dice.randrange(-3, 4), column + 3 * step) for step in range(STEPS)]
            page.mouse.move(*way[0])
            page.mouse.down()
            for point in way:
                page.mouse.move(*point)
                time.sleep(APART / 1000)
            page.mouse.up()
            page.wait_for_timeout(APART * 4)
        events = json.loads(browser.stop_tracing())["traceEvents"]
        browser.close()
    return events


def _report(name: str, events: list[dict]) -> None:
    main = max(
        {(e["pid"], e["tid"]) for e in events if e["name"] == "FireAnimationFrame"},
        key=lambda thread: sum((e["pid"], e["tid"]) == thread for e in events),
    )
    here = [e for e in events if (e["pid"], e["tid"]) == main and e.get("dur")]
    hand = sorted((e["ts"], e["args"]["data"]["type"]) for e in here if e["name"] == "EventDispatch")
    hand = [(at, kind) for at, kind in hand if kind in ("pointermove", "pointerdown", "pointerup")]
    # From a move with the button held to the next; what goes on between strokes is no step of one.
    windows = []
    held = False
    for (at, kind), (then, following) in pairwise(hand):
        held = held if kind == "pointermove" else kind == "pointerdown"
        if held and kind == "pointermove" and following == "pointermove":
            windows.append((at, then))
    tasks = [e for e in here if e["name"] in ("RunTask", "ThreadControllerImpl::RunTask")]
    scripts = [e for e in here if e["name"] in ("EventDispatch", "FireAnimationFrame")]
    pixels = [e for e in events if e["pid"] == main[0] and e["name"] in PIXELS and e.get("dur")]
    layouts = [e for e in here if e["name"] == "Layout"]
    lines = {
        "script": [_within(scripts, w) for w in windows],
        "script and paint, the page's whole work": [_within(tasks, w) + _within(pixels, w) for w in windows],
        "  the same, without waiting for a core": [_busy(tasks, w) + _busy(pixels, w) for w in windows],
    }
    print(f"{name}, {SIDE} by {SIDE} tiles, {len(windows)} steps; {len(layouts)} layouts in all")
    for words, times in lines.items():
        times.sort()
        at = {share: times[min(len(times) - 1, int(len(times) * share))] for share in (0.5, 0.95, 0.99)}
        print(f"  {words:40} median {at[0.5]:5.2f} ms   95 % {at[0.95]:5.2f} ms   99 % {at[0.99]:5.2f} ms")


def _within(found: list[dict], window: tuple[float, float]) -> float:
    """Milliseconds of these that began in the window; what runs inside another of them counts once."""
    total, end = 0.0, 0.0
    for e in sorted((e for e in found if window[0] <= e["ts"] < window[1]), key=lambda e: e["ts"]):
        start = max(e["ts"], end)
        total += max(0.0, e["ts"] + e["dur"] - start)
        end = max(end, e["ts"] + e["dur"])
    return total / 1000


def _busy(found: list[dict], window: tuple[float, float]) -> float:
    """As above, but only what a processor did: a machine that has other work lets the page wait."""
    total, end = 0.0, 0.0
    for e in sorted((e for e in found if window[0] <= e["ts"] < window[1]), key=lambda e: e["ts"]):
        if e["ts"] >= end:
            total += e.get("tdur", 0)
            end = e["ts"] + e["dur"]
    return total / 1000


if __name__ == "__main__":
    sys.exit(main())
