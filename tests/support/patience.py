"""A hand on a page waits as somebody does who looks at it: nothing is done to a page that is on its way out, or whose
scripts are not there yet, however busy the machine is."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from urllib.parse import parse_qsl, urlsplit
from weakref import WeakSet

import pytest
from playwright.sync_api import BrowserContext, Error, Locator, Page, expect

# What is there is waited for no longer than it takes; this is for a machine that does ten other things.
MOST = 30_000
BY_HAND = (
    "blur", "check", "click", "dblclick", "fill", "focus", "press", "press_sequentially", "select_option",
    "set_input_files", "tap", "uncheck",
)  # fmt: skip
LEAVING = "addEventListener('beforeunload', () => { window.isLeaving = true; });"
# A finger's tap is answered before the page hears of it; by its next picture it has.
TAPPED = "() => new Promise(done => requestAnimationFrame(() => setTimeout(() => done(window.isLeaving === true))))"
THERE = "() => !window.isLeaving && document.readyState === 'complete'"
_with_fingers: WeakSet[BrowserContext] = WeakSet()


def looked_at(context: BrowserContext) -> BrowserContext:
    """A context whose pages run scripts: a tap there is over once what it opened is there."""
    context.set_default_timeout(MOST)
    context.add_init_script(LEAVING)
    _with_fingers.add(context)
    return context


def teach(patch: pytest.MonkeyPatch) -> None:
    """As long as ``patch`` lasts."""
    expect.set_options(timeout=MOST)
    patch.setattr(Locator, "tap", _as_a_click(Locator.tap))
    for name in BY_HAND:
        patch.setattr(Locator, name, _on_a_whole_page(getattr(Locator, name)))


def settled(page: Page) -> None:
    """Until every part that was asked for stands in its place."""
    page.wait_for_function("() => !document.querySelector('.htmx-request, .htmx-swapping, .htmx-settling')")


@contextmanager
def sent(page: Page, kind: str) -> Iterator[None]:
    """A page that goes on without network (static/js/device): until what is done inside is in the shop's book, and the
    page says so. Of all that it sends to one address, this kind."""

    def is_it(answer) -> bool:
        return (
            urlsplit(answer.url).path.endswith("/send/")
            and dict(parse_qsl(answer.request.post_data or "")).get("kind") == kind
        )

    with page.expect_response(is_it):
        yield
    still(page)


def still(page: Page) -> None:
    """Until nothing of such a page waits to be sent, and it has taken over how things stand at the shop."""
    expect(page.locator("#queue")).to_have_text(re.compile("^(all sent|sent what waited)"))
    expect(page.locator("[data-asking]")).to_have_count(0)


def _on_a_whole_page(act: Callable) -> Callable:
    @functools.wraps(act)
    def patiently(self: Locator, *given, **how):
        self.page.wait_for_load_state()
        return act(self, *given, **how)

    return patiently


def _as_a_click(tap: Callable) -> Callable:
    """Of the two only the click waits for the page it opens."""

    @functools.wraps(tap)
    def tapped(self: Locator, **how) -> None:
        tap(self, **how)
        page = self.page
        if page.context not in _with_fingers:
            return
        try:
            is_leaving = page.evaluate(TAPPED)
        except Error:
            # It was gone already.
            is_leaving = True
        if is_leaving:
            page.wait_for_function(THERE)

    return tapped
