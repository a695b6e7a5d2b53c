"""Helpers of the browser tests: the browser itself, signing in, axe, and a walk with the Tab key."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import axe_playwright_python

from shopapp.test_run import CHROMIUM as NAMES


def _chromium() -> str | None:
    """The system's Chromium, if there is one and what drives it starts here: without its windows where there is that,
    for what is never shown takes half of the time to open a page and a fifth of the whole."""
    found = next(filter(None, map(shutil.which, NAMES)), None)
    driver = [sys.executable, "-m", "playwright", "--version"]
    return found if found and subprocess.run(driver, capture_output=True).returncode == 0 else None


CHROMIUM = _chromium()
# No look-ups of the browser's own makers; the sandbox is of no use to root. Scripts are run nearly as they are read:
# compiling them better pays on a page that stays open, and took a third of the time of those that do not.
ARGUMENTS = [
    "--no-sandbox",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--js-flags=--no-opt,--no-maglev",
]
SIZES = {"laptop": (1440, 900), "tablet": (820, 1180), "phone": (390, 844), "narrow": (320, 640)}
AXE_FILE = next(Path(axe_playwright_python.__file__).parent.rglob("axe*.js"))
AXE = AXE_FILE.read_text()
# Where a page finds it among its own files (tests/browser/conftest.py).
AXE_PLACE = f"axe/{AXE_FILE.name}"
# Whether it came. A page without network is not asked to fetch it, for that would be a word on its console.
FETCH_AXE = """place => navigator.onLine && new Promise((done) => {
    const script = document.createElement("script");
    script.onload = script.onerror = () => { script.remove(); done(Boolean(window.axe)); };
    script.src = `/static/${place}`;
    document.head.append(script);
})"""
# `target-size` belongs to wcag22aa and is off unless its tag is asked for.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LOOK = Path(__file__).with_suffix(".js").read_text()


# Kinds of words whose contrast was found well, on whichever page of this process.
_well: set[int] = set()


def axe_findings(page) -> list[str]:
    """What axe-core finds, a line a rule, once all that was asked for stands on the page."""
    return looked_over(page)[0]


def looked_over(page) -> tuple[list[str], int]:
    """What axe-core finds, and then how many pixels the page can be pushed sideways."""
    answer = page.evaluate(LOOK, [TAGS, list(_well)])
    if answer is None:
        # As a file of the page's own it goes through one process instead of four, and is kept for the next page.
        if not page.evaluate(FETCH_AXE, AXE_PLACE):
            page.evaluate(AXE)
        answer = page.evaluate(LOOK, [TAGS, list(_well)])
    found, well, pushed = answer
    _well.update(well)
    return found, pushed


class Looks:
    """An open page, whatever is opened in it, by one look after another: a size of SIZES and a scheme ("narrow dark"),
    with fingers where it is no laptop's. A look that it has already is not taken anew."""

    def __init__(self, page) -> None:
        self.page, self.now = page, ""
        self.fingers = page.context.new_cdp_session(page)

    def by(self, *looks: str) -> Iterator[str]:
        for look in looks:
            if look != self.now:
                size, scheme = look.split()
                width, height = SIZES[size]
                self.page.set_viewport_size({"width": width, "height": height})
                self.fingers.send("Emulation.setTouchEmulationEnabled", {"enabled": size != "laptop"})
                self.page.emulate_media(color_scheme=scheme)
                self.now = look
            yield look


def looks_of(page, *looks: str) -> Iterator[str]:
    """The open page by each of ``looks``."""
    taken = Looks(page)
    yield from taken.by(*looks)
    taken.fingers.detach()


def sideways(page) -> int:
    """Pixels the page can be pushed sideways."""
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def tab_walk(page, most: int = 150) -> list[dict]:
    """Press Tab from the top until the page is left; what had the focus each time, and whether it showed."""
    page.evaluate("document.activeElement?.blur(); window.scrollTo(0, 0)")
    stops = []
    for _ in range(most):
        page.keyboard.press("Tab")
        stop = page.evaluate(
            """() => {
                const e = document.activeElement;
                if (!e || e === document.body) return null;
                const box = e.getBoundingClientRect(), style = getComputedStyle(e);
                const all = [...document.querySelectorAll('*')];
                return {words: (e.textContent || e.name || e.id).trim().slice(0, 40), place: all.indexOf(e),
                        outlined: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0,
                        seen: box.width > 0 && box.bottom > 0 && box.top < innerHeight};
            }"""
        )
        if stop is None:
            break
        stops.append(stop)
    return stops
