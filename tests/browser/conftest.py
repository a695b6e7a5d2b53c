"""A real browser on a running server; a word on its console fails the test."""

from __future__ import annotations

import os

import pytest
from django.conf import settings as live_settings
from django.test import Client

from shopapp.webfonts import write_web_fonts
from tests.support.browser import ARGUMENTS, CHROMIUM, SIZES
from tests.support.patience import looked_at, teach


def pytest_collection_modifyitems(items):
    for item in items:
        if "tests/browser/" in str(item.fspath):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium():
    if CHROMIUM is None:
        if os.environ.get("CI") == "true":
            pytest.fail("Chromium is missing")
        pytest.skip("Chromium is missing: install your system's chromium package")
    # Playwright's own loop runs in this thread, and Django would refuse the database beside it.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play, pytest.MonkeyPatch.context() as patch:
        teach(patch)
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def fonts(settings):
    """The page's fonts where a set-up would put them, so that no request for one fails."""
    folder = live_settings.DATA / "web"
    write_web_fonts(folder / "fonts")
    settings.STATICFILES_DIRS = [*{*map(str, settings.STATICFILES_DIRS), str(folder)}]


@pytest.fixture
def open_page(chromium, live_server, fonts, transactional_db, owner):
    """Opens a page, as the owner unless told; ``size`` is one of SIZES. Console words are errors unless expected."""
    contexts, said = [], []

    def start(path: str = "/", size: str = "laptop", scheme: str = "light", signed_in: bool = True, expect: str = "-"):
        width, height = SIZES[size]
        context = chromium.new_context(
            base_url=live_server.url,
            viewport={"width": width, "height": height},
            has_touch=size != "laptop",
            is_mobile=size in ("tablet", "phone"),
            color_scheme=scheme,
        )
        contexts.append(looked_at(context))
        page = context.new_page()
        page.on(
            "console",
            lambda m: said.append(m.text) if m.type in ("error", "warning") and expect not in m.text else None,
        )
        page.on("pageerror", lambda error: said.append(str(error)))
        if signed_in:
            client = Client()
            client.force_login(owner)
            cookie = client.cookies[live_settings.SESSION_COOKIE_NAME].value
            context.add_cookies([{"name": live_settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
        page.goto(path)
        return page

    yield start
    for context in contexts:
        context.close()
    assert said == []
