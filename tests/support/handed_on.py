"""Pages that are handed on from test to test. A browser that begins anew takes two to four times as long to open a page
as one that goes on; so whoever did nothing lasting to a page leaves it to the next test, empty and as it was at first.
All else is closed."""

from __future__ import annotations

import functools
from collections.abc import Callable
from weakref import WeakKeyDictionary, WeakSet

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page

from tests.support.patience import looked_at

# What stays when another page is opened, and can neither be told by looking at it nor be undone.
LASTING = {
    Page: ("add_init_script", "close", "expose_function", "once", "set_default_timeout", "set_extra_http_headers"),
    BrowserContext: ("add_init_script", "close", "grant_permissions", "new_cdp_session", "once"),
}
# What undoes the rest; what a page listens to is taken from it one by one.
UNDONE: dict[type, dict[str, Callable]] = {
    Page: {
        "emulate_media": lambda page, opened: page.emulate_media(**PLAIN, color_scheme=opened.look["color_scheme"]),
        "on": lambda page, _, event, heard: page.remove_listener(event, heard),
        "route": lambda page, _: page.unroute_all(),
        "set_viewport_size": lambda page, opened: page.set_viewport_size(opened.look["viewport"]),
    },
    BrowserContext: {
        "on": lambda context, _, event, heard: context.remove_listener(event, heard),
        "route": lambda context, _: context.unroute_all(),
        "set_offline": lambda context, _: context.set_offline(False),
    },
}
PLAIN = {"media": "null", "reduced_motion": "no-preference", "forced_colors": "none"}
# Of the pages' own server and without a script: what was kept for those pages can be taken away from here.
EMPTY = "/static/img/mark.svg"
KINDS = "cookies,local_storage,indexeddb,service_workers,cache_storage,file_systems"
_changed: WeakSet[BrowserContext] = WeakSet()
_to_undo: WeakKeyDictionary[BrowserContext, list[Callable[[Opened], None]]] = WeakKeyDictionary()


def watch(patch: pytest.MonkeyPatch) -> None:
    """Whoever does something lasting is known, as long as ``patch`` lasts, and so is what has to be undone."""
    for kind, names in LASTING.items():
        for name in names:
            patch.setattr(kind, name, _noticed(getattr(kind, name)))
    for kind, undone in UNDONE.items():
        for name, undo in undone.items():
            patch.setattr(kind, name, _kept_in_mind(getattr(kind, name), undo))


def _noticed(act: Callable) -> Callable:
    @functools.wraps(act)
    def acts(self: Page | BrowserContext, *given, **how):
        _changed.add(_context_of(self))
        return act(self, *given, **how)

    return acts


def _kept_in_mind(act: Callable, undo: Callable) -> Callable:
    @functools.wraps(act)
    def acts(self: Page | BrowserContext, *given, **how):
        heard = given if act.__name__ == "on" else ()
        _to_undo.setdefault(_context_of(self), []).append(lambda opened: undo(self, opened, *heard))
        return act(self, *given, **how)

    return acts


def _context_of(either: Page | BrowserContext) -> BrowserContext:
    return either.context if isinstance(either, Page) else either


class Opened:
    """A page in a browser of its own, and what it said on its console."""

    def __init__(self, browser: Browser, root: str, **look) -> None:
        self.context = looked_at(browser.new_context(base_url=root, **look))
        self.root, self.look = root, look
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
        _to_undo.pop(self.context, None)

    def hand_on(self) -> bool:
        """Leave nothing on it; whether the next test may have it. If not it is closed."""
        if self.context not in _changed:
            try:
                self._undo()
                self._empty()
            except Error:
                pass
            else:
                return True
        _to_undo.pop(self.context, None)
        self.context.close()
        return False

    def _undo(self) -> None:
        for page in self.context.pages:
            if page != self.page:
                page.close()
        for undo in _to_undo.pop(self.context, []):
            undo(self)

    def _empty(self) -> None:
        self.page.goto(EMPTY)
        self.page.mouse.move(-1, -1)
        self.page.evaluate("sessionStorage.clear()")
        self.cleaner.send("Storage.clearDataForOrigin", {"origin": self.root, "storageTypes": KINDS})
        # What it said on its way out.
        self.said.clear()
