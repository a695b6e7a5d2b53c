"""A real browser on a running server; a word on its console fails the test."""

from __future__ import annotations

import os

import pytest
from django.conf import settings as live_settings
from django.contrib.staticfiles.handlers import StaticFilesHandler
from django.test import Client

from shopapp.webfonts import write_web_fonts
from tests.support.browser import ARGUMENTS, AXE_FILE, AXE_PLACE, CHROMIUM, SIZES
from tests.support.handed_on import Opened, watch
from tests.support.patience import teach


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
        watch(patch)
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture(scope="session")
def files_kept_by_pages():
    """The pages' files may be kept, as where their names change with what is in them: nobody changes one while tests
    run, and a page of the bench would ask for each of forty whether it is still the same."""
    serve = StaticFilesHandler.serve

    def kept(self, request):
        answer = serve(self, request)
        answer["Cache-Control"] = "max-age=86400"
        return answer

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(StaticFilesHandler, "serve", kept)
        yield


@pytest.fixture
def fonts(settings):
    """The page's fonts where a set-up would put them, so that no request for one fails; and axe beside them."""
    folder = live_settings.DATA / "web"
    write_web_fonts(folder / "fonts")
    settings.STATICFILES_DIRS = [
        *{*map(str, settings.STATICFILES_DIRS), str(folder)},
        (AXE_PLACE.split("/")[0], str(AXE_FILE.parent)),
    ]


@pytest.fixture(scope="session")
def handed_on(chromium):
    """The open page of each size and scheme that the next test may have."""
    pages: dict[str, Opened] = {}
    yield pages
    for opened in pages.values():
        opened.context.close()


@pytest.fixture
def open_page(chromium, handed_on, live_server, files_kept_by_pages, fonts, transactional_db, owner):
    """Opens a page, as the owner unless told; ``size`` is one of SIZES. Console words are errors unless expected."""
    used: list[tuple[str, str, Opened]] = []

    def start(path: str = "/", size: str = "laptop", scheme: str = "light", signed_in: bool = True, expect: str = "-"):
        # A page that was handed on is nobody's; another of the same look stands for another device.
        like = f"{size} {scheme}"
        opened = handed_on.pop(like, None)
        if opened is None:
            width, height = SIZES[size]
            opened = Opened(
                chromium,
                live_server.url,
                viewport={"width": width, "height": height},
                has_touch=size != "laptop",
                is_mobile=size in ("tablet", "phone"),
                color_scheme=scheme,
            )
        used.append((like, expect, opened))
        session = ""
        if signed_in:
            client = Client()
            client.force_login(owner)
            session = client.cookies[live_settings.SESSION_COOKIE_NAME].value
        opened.begin(live_settings.SESSION_COOKIE_NAME, session)
        opened.page.goto(path)
        return opened.page

    yield start
    said = []
    for like, expect, opened in used:
        said += [words for words in opened.said if expect not in words]
        if like not in handed_on and opened.hand_on():
            handed_on[like] = opened
        else:
            opened.context.close()
    assert said == []
