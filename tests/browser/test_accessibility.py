"""Every page passes axe in light and dark, wide and narrow, and can be walked with the Tab key alone."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.urls import resolve

from planner.measures import Length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.making import making_of_job
from shopapp.listings.models import Piece
from shopapp.plans.actions import keep_plan
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.doors import binding_of
from shopapp.plans.cutting.asmade.actions import keep_measure
from shopapp.plans.cutting.asmade.planning import Measured
from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.workshop.readers import the_workshop
from tests.rules.test_every_address import POST_ONLY, all_addresses
from tests.support import work
from tests.support.browser import AXE, Looks, axe_findings, looked_over, sideways, tab_walk
from tests.support.cards import papers_of
from tests.support.counting import labels_made, one_open_one_closed
from tests.support.cutagain import spoiled
from tests.support.evenings import kept as kept_evenings
from tests.support.fairs import fair_pages
from tests.support.log import a_log
from tests.support.money import a_ledger
from tests.support.pages import NO_PAGE, PAGES
from tests.support.people import an_erased, somebody
from tests.support.pieces import a_trade
from tests.support.rack import boards, glue
from tests.support.sawing import a_rack, cutting_of, sawn
from tests.support.shop import add_woods, board, design_with_pattern
from tests.support.visitors import a_public_page
from tests.support.week import a_week, on_the_wall
from tests.support.wood_photos import aged_piece


def test_every_page_of_the_app_is_in_the_table():
    # Which view answers does not hang on the numbers.
    paths = [path.format_map(defaultdict(lambda: "1")) for path in PAGES]
    shown = {resolve(urlsplit(path).path).view_name for path in paths if path != "/nowhere/"}
    assert shown == {name for name, _ in all_addresses()} - POST_ONLY - NO_PAGE


@pytest.fixture
def drawn(owner, transactional_db):
    """A design with its pattern and woods for it: what the pages before any plan show."""
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


@pytest.fixture
def filled(owner, drawn):
    design = drawn
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    book = {"person": somebody(way="wren@reedbank.example", address="Mill Lane 3").pk, "erased": an_erased(owner).pk}
    piece, out, held, gone = boards(owner, 4, wood="padauk", place="loft")
    boards(owner, 1, length=Length.of_mm(180))
    work_in_hand = hand_work(owner, plan, out, held) | at_the_saw(owner, plan)
    ledger = a_ledger(owner)
    made = Piece.objects.get(pk=work_in_hand["piece"])
    work_in_hand |= {"paper": papers_of(owner, made)["paper_pk"]} | fair_pages(owner, made)
    run_waiting_tasks()
    bought = {"delivery": piece.lot.delivery_id, "supplier": piece.lot.delivery.supplier_id, "supply": glue(owner).pk}
    photo = aged_piece(owner, "padauk").pk
    counted = one_open_one_closed(owner, missing=piece, moved=gone) | {"labels": labels_made(owner, piece).pk}
    counted |= a_week(owner) | on_the_wall(owner)
    evenings = {
        "plan_evenings": kept_evenings(owner, making_of_plan(plan.pk)).pk,
        "job_evenings": kept_evenings(owner, making_of_job(work_in_hand["job"])).pk,
    }
    counted |= book | ledger
    return {"design": design.pk, "plan": plan.pk, "photo": photo, **bought, **work_in_hand, **counted, **evenings}


def hand_work(owner, plan, out, held) -> dict[str, int]:
    """A quote, a finished job with a piece out and one reserved, its listing, and a plan whose picture is unsettled."""
    quote = work.quote(owner, plan)
    job = work.move(owner, work.job(owner, plan, due=quote.dated), "under way", "finished")
    work.give(owner, job, "take", out)
    work.give(owner, job, "reserve", held)
    spoiled(owner, job)
    other = design_with_pattern(owner, name="Pennant")
    unasked = keep_plan(who=owner, version=other.versions.get(), board=board(), workshop=the_workshop())
    listing = work.listing(owner, job)
    draft = work.draft(owner, plan, work.beside(owner, plan, quantity=2), wanted_by=quote.dated)
    # Its photo is chosen before another is brought.
    public = a_public_page(owner, listing)
    in_hand = {
        **public,
        "draft": draft.pk,
        "quote": quote.pk,
        "job": job.pk,
        "listing": listing.pk,
        **{name.removesuffix("_pk"): pk for name, pk in a_trade(owner, listing).items()},
        "unasked": unasked.pk,
    }
    return in_hand | a_log(owner, plan, job)


def at_the_saw(owner, plan) -> dict[str, int | str]:
    """A kept cut plan of a plan and of its job, one board of each cut."""
    a_rack(owner)
    (of_plan, mark_of_plan), (of_job, mark_of_job) = (
        sawn(owner, one) for one in (cutting_of_plan(plan), cutting_of(plan.jobs.get()))
    )
    # A tile a little long, of which strips and stops are told.
    keep_measure(
        who=owner, cutting=cutting_of_plan(plan), sheet=of_plan, measured=Measured(Length.of_mm(17)), keep="borders"
    )
    return {
        "plan_sheet": of_plan.pk,
        "plan_board": mark_of_plan,
        "job_sheet": of_job.pk,
        "job_board": mark_of_job,
    }


@pytest.mark.parametrize("paper", ["rgb(29, 25, 21)", "rgb(40, 36, 32)"])
def test_words_that_sink_into_the_dark_paper_would_be_found(open_page, paper):
    """The look itself is tried: words of the light's ink, or of the paper's own colour, on the dark paper."""
    page = open_page("/")
    page.evaluate("colour => { document.querySelector('h1').style.color = colour }", paper)
    assert axe_findings(page) == []
    page.emulate_media(color_scheme="dark")
    assert [line.split(":")[0] for line in axe_findings(page)] == ["color-contrast"]


def test_of_words_that_look_alike_the_one_that_sinks_is_found_however_often_it_is_looked_for(open_page):
    """Words of one look are looked at once, and what a page of another size or scheme has alike is not looked at again:
    neither hides what is wrong with one of them, or became wrong since."""
    page = open_page("/")
    assert axe_findings(page) == []
    page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<p>Oak and ash</p>'.repeat(5))")
    assert axe_findings(page) == []
    page.evaluate("document.querySelector('main > p:nth-last-of-type(3)').style.color = 'rgb(225, 220, 214)'")
    for _ in range(2):
        assert [line.split(":")[0] for line in axe_findings(page)] == ["color-contrast"]
    page.evaluate("document.querySelector('main > p:nth-last-of-type(3)').remove()")
    page.evaluate("document.title = ''")
    assert [line.split(":")[0] for line in axe_findings(page)] == ["document-title"]


TINY = {"display": "inline-block", "width": "12px", "height": "12px", "minWidth": "0", "minHeight": "0"}
PLAIN = {"color": "rgb(70, 60, 55)", "textDecoration": "none", "borderBottom": "0"}


@pytest.mark.parametrize(
    ("added", "style", "rules"),
    [
        ('<a href="#a">a</a><a href="#b">b</a>', TINY, ["target-size"]),
        # Small but alone: the room around it counts as its own.
        ('<a href="#a">a</a>', {**TINY, "margin": "40px"}, []),
        ('<p>Oak and <a href="#a">ash</a> in one</p>', PLAIN, ["link-in-text-block"]),
        ('<p>Oak and <a href="#a">ash</a> in one</p>', {}, []),
    ],
    ids=["small and close", "small and alone", "a link like its words", "a link underlined"],
)
def test_targets_too_small_and_links_like_their_words_would_be_found(open_page, added, style, rules):
    """The look itself is tried by what fails, beside what is nearly the same and does not."""
    page = open_page("/")
    page.evaluate(
        "added => document.querySelector('main').insertAdjacentHTML('beforeend', `<div id=x>${added}</div>`)", added
    )
    page.evaluate("style => document.querySelectorAll('#x a').forEach(link => Object.assign(link.style, style))", style)
    assert [line.split(":")[0] for line in axe_findings(page)] == rules


def test_a_data_folder_deep_in_the_machine_does_not_push_its_page_sideways(open_page, owner, settings):
    settings.DATA = Path("/srv") / ("a" * 60) / ("b" * 60)
    page = open_page("/health/", "narrow")
    assert str(settings.DATA) in page.content() and not sideways(page)


def test_axe_finds_nothing_in_light_or_dark_and_no_page_can_be_pushed_sideways(open_page, filled, settings):
    """Colours are the scheme's and layouts the size's: each of both is looked at once, on one visit of the page. Every
    other page is opened narrow and dark and made wide and light, the rest the other way."""
    settings.IS_DEMO = True
    page = open_page("/", expect="Failed to load resource")
    page.context.add_init_script(AXE)
    looks = ["laptop light", "narrow dark"]
    found, taken = [], Looks(page)
    for path in PAGES:
        if path.startswith("/jobs/") and _has_a_twin(path.format(**filled)):
            continue
        page.goto(path.format(**filled))
        for look in taken.by(*looks):
            lines, pushed = looked_over(page)
            found += [f"{path} {look} {line}" for line in lines]
            if pushed:
                found.append(f"{path} {look} can be pushed sideways by {pushed} px")
        looks.reverse()
    assert found == []


def _has_a_twin(path: str) -> bool:
    """Whether the page is a plan's as well, by the same door (people/doors): it is looked at there."""
    name = resolve(urlsplit(path).path).url_name
    return f"plans:{name}" in {known for known, _ in all_addresses()} and name not in ("job", "jobs")


def test_axe_finds_nothing_before_signing_in(open_page):
    assert axe_findings(open_page("/sign-in/", signed_in=False)) == []


@pytest.mark.parametrize(
    "path", ["/", "/designs/{design}/", "/plans/reckon/{design}/", "/woods/", "/workshop/selling/"]
)
def test_the_tab_key_reaches_everything_in_reading_order_and_shows_where_it_is(open_page, drawn, path):
    page = open_page(path.format(design=drawn.pk))
    # With what is folded away opened first, so that it is walked too.
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    stops = tab_walk(page)
    assert stops[0]["words"] == "Skip to the page"
    places = [stop["place"] for stop in stops]
    assert places == sorted(places)
    assert all(stop["outlined"] and stop["seen"] for stop in stops), [
        s for s in stops if not s["outlined"] or not s["seen"]
    ]
    reachable = page.evaluate(
        """() => [...document.querySelectorAll(
                'a[href]:not([tabindex="-1"]), button, input:not([type=hidden]), select, summary, [tabindex="0"]')]
            .filter(e => e.checkVisibility() && !e.disabled).length"""
    )
    assert len(stops) == reachable


def test_text_may_be_spaced_out_without_being_cut_off(open_page, drawn):
    """WCAG 2.2, 1.4.12: line height 1.5, letters .12 em, words .16 em apart."""
    page = open_page(f"/plans/reckon/{drawn.pk}/", "narrow")
    page.evaluate(
        """() => { for (const e of document.querySelectorAll('main *')) {
            e.style.setProperty('letter-spacing', '.12em'); e.style.setProperty('word-spacing', '.16em');
            e.style.setProperty('line-height', '1.5'); } }"""
    )
    assert sideways(page) == 0
