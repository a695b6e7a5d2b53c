"""Pages that are handed on from test to test. A browser that begins anew takes two to four times as long to open a page
as one that goes on; so whoever did nothing lasting to a page leaves it to the next test, empty. All else is closed."""

from __future__ import annotations

import functools
from collections.abc import Callable
from weakref import WeakSet

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page

from tests.support.patience import looked_at

# What stays when another page is opened, and cannot be told by looking at it.
LASTING = {
    Page: (
        "add_init_script", "close", "emulate_media", "expect_popup", "expose_function", "on", "once", "route",
        "set_default_timeout", "set_extra_http_headers", "set_viewport_size",
    ),
    BrowserContext: (
        "add_cookies", "add_init_script", "clear_cookies", "close", "grant_permissions", "new_cdp_session", "new_page",
        "on", "once", "route", "set_offline",
    ),
}  # fmt: skip
# Of the pages' own server and without a script: what was kept for those pages can be taken away from here.
EMPTY = "/static/img/mark.svg"
KINDS = "cookies,local_storage,indexeddb,service_workers,cache_storage,file_systems"
_changed: WeakSet[BrowserContext] = WeakSet()


def watch(patch: pytest.MonkeyPatch) -> None:
    """Whoever does something lasting is known, as long as ``patch`` lasts."""
    for kind, names in LASTING.items():
        for name in names:
            patch.setattr(kind, name, _noticed(getattr(kind, name)))


def _noticed(act: Callable) -> Callable:
    @functools.wraps(act)
    def acts(self: Page | BrowserContext, *given, **how):
        _changed.add(self.context if isinstance(self, Page) else self)
        return act(self, *given, **how)

    return acts


class Opened:
    """A page in a browser of its own, and what it said on its console."""

    def __init__(self, browser: Browser, root: str, **look) -> None:
        self.context = looked_at(browser.new_context(base_url=root, **look))
        self.root = root
        self.page = self.context.new_page()
        self.said: list[str] = []
        self.page.on("console", lambda one: self.said.append(one.text) if one.type in ("error", "warning") else None)
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.cleaner = self.context.new_cdp_session(self.page)

    def begin(self, cookie: str, value: str) -> None:
        """For whom ``value`` is the session, if it is anybody's."""
        if value:
            self.context.add_cookies([{"name": cookie, "value": value, "url": self.root}])
        _changed.discard(self.context)

    def hand_on(self) -> bool:
        """Leave nothing on it; whether the next test may have it. If not it is closed."""
        if self.context not in _changed:
            try:
                self._empty()
            except Error:
                pass
            else:
                return True
        self.context.close()
        return False

    def _empty(self) -> None:
        self.page.goto(EMPTY)
        self.page.mouse.move(-1, -1)
        self.page.evaluate("sessionStorage.clear()")
        self.cleaner.send("Storage.clearDataForOrigin", {"origin": self.root, "storageTypes": KINDS})
        # What it said on its way out.
        self.said.clear()
