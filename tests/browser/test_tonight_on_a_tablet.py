"""Tonight's page at the bench: a network that drops for a minute, a tablet whose clock is wrong, a row by tap and keys,
another who was quicker."""

from __future__ import annotations

import re
from urllib.parse import parse_qsl

import pytest
from django.conf import settings as live_settings
from django.test import Client
from django.utils import timezone
from playwright.sync_api import expect

from shopapp.people.models import Member
from shopapp.plans.models import StepTick
from shopapp.schedule.models import TimeEntry
from tests.support import tonight as bench
from tests.support import work
from tests.support.browser import axe_findings, looks_of, sideways
from tests.support.patience import sent, still

pytestmark = pytest.mark.django_db(transaction=True)
OFFLINE = "Failed to load resource"


@pytest.fixture
def row(owner):
    """A job with rows to glue, the first of them in clamps."""
    bench.all_day(owner)
    making, kept = bench.rows_due(owner, work.kept(owner), "Flag for the quay")
    bench.glue_row(owner, making, kept, bench.first_row(kept))
    return making


def opened(open_page, size: str = "tablet", *, before: str = "", **given):
    page = open_page("/health/", size, **given)
    if before:
        page.add_init_script(before)
    page.goto("/jobs/tonight/")
    page.locator("#tonight[data-ready]").wait_for()
    return page


def ticked(step: str) -> list[bool]:
    return list(StepTick.objects.filter(step=step).order_by("pk").values_list("done", flat=True))


def test_what_is_ticked_while_the_network_is_down_is_kept_over_a_reload_and_sent_once(open_page, row, client):
    page = opened(open_page, expect=OFFLINE)
    sent = []
    page.on("request", lambda one: sent.append(one.post_data) if one.url.endswith("/tonight/send/") else None)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    large = page.locator(".step-large:visible")
    step = page.locator(".lines [aria-current]").get_attribute("data-step")
    page.context.set_offline(True)
    large.get_by_role("button", name=re.compile(", dry$")).tap()
    large.get_by_role("button", name=re.compile("Start the time")).tap()
    expect(page.locator("#running")).to_be_visible()
    large.get_by_role("button", name="Clamped").tap()
    page.get_by_role("button", name="Stop and write it down").tap()
    expect(page.locator("#queue")).to_contain_text("4 things wait to be sent; the shop’s machine is away")
    expect(page.locator(".timers li")).to_have_count(2)
    assert ticked(step) == [] and axe_findings(page) == []
    page.reload()
    expect(page.get_by_role("heading", name="The shop’s machine cannot be reached")).to_be_visible()
    expect(page.locator("#queue")).to_contain_text("4 things wait to be sent. Nothing is lost")
    expect(page.locator(".timers li")).to_have_count(2)
    assert axe_findings(page) == [] and not sideways(page)
    page.context.set_offline(False)
    # It looks by itself whether the machine is there again.
    page.locator("#tonight[data-ready]").wait_for()
    expect(page.locator("#queue")).to_have_text("all sent")
    assert ticked(step) == ticked(f"{step}/dry") == [True]
    assert TimeEntry.objects.get().operation == "row_glue"
    # Sent again by a device that never heard the answer, nothing changes.
    client.cookies[live_settings.SESSION_COOKIE_NAME] = page.context.cookies()[0]["value"]
    client.force_login(row.plan.kept_by or Member.objects.get())
    for body in [one for one in sent if one][-4:]:
        answer = client.post("/jobs/tonight/send/", dict(parse_qsl(body)))
        assert answer.json()["state"] == "already"
    assert ticked(step) == [True] and TimeEntry.objects.count() == 1


def test_the_row_is_laid_by_tap_and_by_keys_and_its_place_is_kept(open_page, row):
    page = opened(open_page)
    large = page.locator(".step-large:visible")
    place, pieces = large.locator("[data-part=count]"), large.locator(".runs li").count()
    expect(place).to_have_text(f"0 of {pieces} laid. Next:")
    large.get_by_role("button", name="Laid, next").tap()
    page.keyboard.press("ArrowRight")
    expect(place).to_have_text(f"2 of {pieces} laid. Next:")
    drawn = "document.querySelector('.step-large:not([hidden]) .row-drawn:not([hidden]) rect').getAttribute('x')"
    face_up = float(page.evaluate(drawn))
    page.reload()
    page.locator("#tonight[data-ready]").wait_for()
    expect(place).to_have_text(f"2 of {pieces} laid. Next:")
    # Face down the row begins at the right, and the arrow that points there goes on.
    large.get_by_role("button", name="It lies face down").tap()
    expect(large.get_by_text("Face down: lay from the right")).to_be_visible()
    wide = float(page.evaluate(drawn.replace("'x'", "'width'")))
    assert float(page.evaluate(drawn)) == pytest.approx(1000 - face_up - wide, abs=0.2)
    page.keyboard.press("ArrowLeft")
    expect(place).to_have_text(f"3 of {pieces} laid. Next:")
    for _ in range(pieces):
        page.keyboard.press("ArrowLeft")
    expect(large.get_by_text("All there. Count them without glue.")).to_be_visible()
    # Gluey hands tap twice: the second tap does not clamp what the first counted.
    line = page.locator(".lines [aria-current]")
    still(page)
    # In one moment, however slow the machine is.
    page.evaluate("() => { window.asItWas = Date.now; const at = Date.now(); Date.now = () => at; }")
    with sent(page, "tick"):
        line.get_by_role("button").dblclick()
    page.evaluate("() => { Date.now = window.asItWas; }")
    step = line.get_attribute("data-step")
    assert (ticked(f"{step}/dry"), ticked(step)) == ([True], [])
    with sent(page, "tick"):
        large.get_by_role("button", name="Not counted after all").tap()
    expect(large.get_by_role("button", name=f"{pieces}, dry")).to_be_visible()
    expect(large.get_by_role("button", name="Clamped")).to_be_disabled()
    assert ticked(f"{step}/dry") == [True, False]


def test_time_begun_on_the_tablet_is_stopped_on_the_phone_and_rows_turned_on_one_are_turned_on_both(open_page, row):
    tablet = opened(open_page)
    with sent(tablet, "begin"):
        tablet.locator(".step-large:visible").get_by_role("button", name=re.compile("Start the time")).tap()
    with sent(tablet, "face"):
        tablet.locator(".step-large:visible").get_by_role("button", name="It lies face down").tap()
    phone = opened(open_page, "phone")
    expect(phone.locator("#running")).to_contain_text("Gluing rows, Flag for the quay")
    expect(phone.locator(".step-large:visible").get_by_text("Face down: lay from the right")).to_be_visible()
    assert axe_findings(phone) == [] and not sideways(phone)
    with sent(phone, "stop"):
        phone.get_by_role("button", name="Stop and write it down").tap()
    expect(phone.locator("#running")).to_be_hidden()
    tablet.reload()
    tablet.locator("#tonight[data-ready]").wait_for()
    expect(tablet.locator("#running")).to_be_hidden()
    assert TimeEntry.objects.get().operation == "row_glue"


WRONG = "const real = Date.now; Date.now = () => real() + 7 * 3600e3 + 13 * 60e3;"


def test_a_tablet_whose_clock_is_seven_hours_fast_counts_down_and_ticks_by_the_shops(open_page, row):
    page = opened(open_page, before=WRONG)
    left = page.locator(".timers .left-time")
    # Thirty minutes in clamps, ticked a moment ago.
    expect(left).to_have_text(re.compile(r"^(30:00|2[5-9]:\d\d)$"))
    with sent(page, "tick"):
        page.locator(".step-large:visible").get_by_role("button", name=re.compile(", dry$")).tap()
    # So does time that runs, and a reload does not stop it.
    with sent(page, "begin"):
        page.get_by_role("button", name=re.compile("Start the time")).locator("visible=true").tap()
    expect(page.locator("#running")).to_be_visible()
    page.reload()
    page.locator("#tonight[data-ready]").wait_for()
    with sent(page, "stop"):
        page.get_by_role("button", name="Stop and write it down").tap()
    entry = TimeEntry.objects.get()
    # A minute, and no seven hours.
    assert 1 <= entry.minutes < 10 and entry.on == timezone.localdate()
    dry, first = StepTick.objects.order_by("-pk")[:2]
    assert dry.step.endswith("/dry") and 0 <= (dry.at - first.at).total_seconds() < 300


def test_who_was_slower_is_told_and_what_they_ticked_is_kept_until_they_let_it_go(open_page, row, owner):
    page = opened(open_page, expect=OFFLINE)
    line = page.locator(".lines [aria-current]")
    step, words = line.get_attribute("data-step"), line.get_attribute("data-words")
    page.context.set_offline(True)
    line.get_by_role("button").tap()
    expect(page.locator("#queue")).to_contain_text("1 thing waits to be sent")
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    bench.glue_row(joss, row, bench.newest(row), step)
    page.context.set_offline(False)
    note = page.locator(".refused")
    expect(note).to_contain_text(f"{words}: counted dry was not written down.")
    expect(note).to_contain_text("ticked already by joss")
    assert ticked(f"{step}/dry") == [True]
    page.reload()
    expect(note).to_be_visible()
    for look in looks_of(page, "tablet light", "phone dark", "narrow light", "laptop light"):
        assert axe_findings(page) == [] and not sideways(page), look
    note.get_by_role("button", name="Let it go").click()
    expect(note).to_have_count(0)
    still(page)
    # What goes through after the network was down is said to have gone.
    page.context.set_offline(True)
    page.locator(".lines li:last-child").get_by_role("button").click()
    expect(page.locator("#queue")).to_contain_text("1 thing waits to be sent; the shop’s machine is away")
    page.context.set_offline(False)
    expect(page.locator("#queue")).to_have_text("sent what waited: 1 thing")


def test_who_is_signed_out_meanwhile_loses_nothing(open_page, row, owner):
    page = opened(open_page, expect=OFFLINE)
    step = page.locator(".lines [aria-current]").get_attribute("data-step")
    cookies = page.context.cookies()
    page.context.clear_cookies()
    page.locator(".lines [aria-current]").get_by_role("button").tap()
    expect(page.locator("#queue")).to_contain_text("1 thing waits to be sent; sign in again")
    expect(page.locator("#sign-in")).to_be_visible()
    client = Client()
    client.force_login(owner)
    fresh = client.cookies[live_settings.SESSION_COOKIE_NAME].value
    page.context.add_cookies([{**cookies[0], "value": fresh}])
    page.goto("/jobs/tonight/")
    expect(page.locator("#queue")).to_have_text("all sent")
    assert ticked(f"{step}/dry") == [True]


@pytest.mark.parametrize("size", ["tablet", "phone", "laptop"])
def test_every_target_is_as_wide_as_a_thumb(open_page, row, size):
    """56 px and more for whatever is tapped at the bench; axe-core looks at the rest."""
    page = opened(open_page, size)
    small = page.evaluate(
        """() => [...document.querySelectorAll('#tonight :is(button, a, summary)')].filter(e => e.checkVisibility())
            .map(e => [e.textContent.trim(), e.getBoundingClientRect()])
            .filter(([, box]) => Math.min(box.width, box.height) < 55.9)
            .map(([words, box]) => [words, box.width, box.height])"""
    )
    assert small == [] and axe_findings(page) == [] and not sideways(page)
