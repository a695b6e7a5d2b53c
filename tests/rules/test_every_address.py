"""Every address of the app: nobody is sent to sign in, the owner gets a page, and no GET writes."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from shopapp.common.models import PrivateLink
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.binding import binding_of_job
from shopapp.jobs.making import making_of_job
from shopapp.lumber.counting.actions import begin_stocktake
from shopapp.lumber.models import ColourPhoto
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.doors import binding_of
from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.books import build_sheet_of_then
from tests.support.counting import labels_made
from tests.support.evenings import kept_on_paper
from tests.support.log import a_log
from tests.support.money import a_ledger
from tests.support.offers import link_to
from tests.support.people import somebody
from tests.support.rack import boards, glue
from tests.support.sawing import a_rack, cutting_of, sawn
from tests.support.shop import add_woods, board, design_with_pattern
from tests.support.week import a_week, on_the_wall
from tests.support.wood_photos import photo_to_tap

PUBLIC = {"people:sign_in", "common:healthz"}
# What private links open, to whoever has one (tests/jobs/offered); the last is all that lies beside them.
PUBLIC |= {"offered:offer", "offered:picture", "offered:pdf", "offered:nowhere"}
POST_ONLY = {
    "people:sign_out",
    "people:member_act",
    "designs:bench_hints",
    "designs:bench_keep",
    "designs:rename",
    "designs:set_aside",
    "lumber:on_hand",
    "lumber:piece_act",
    "lumber:piece_undo",
    "lumber:stocktake_count",
    "lumber:stocktake_uncount",
    "lumber:stocktake_undo",
    "lumber:supply_act",
    "lumber:supply_undo",
    "lumber:tickets",
    "lumber:undo_delivery",
    "jobs:cut_keep",
    "jobs:cut_stop",
    "jobs:cut_paper",
    "jobs:timetable_keep",
    "jobs:timetable_paper",
    "jobs:move",
    "jobs:time_back",
    "listings:again",
    "listings:gone",
    "payments:call_off",
    "payments:credit_paper",
    "payments:paper",
    "payments:take_back",
    "quotes:anew",
    "quotes:aside",
    "quotes:paper",
    "quotes:revoke",
    "quotes:tell",
    "schedule:remove_exception",
    "schedule:remove_session",
    "plans:bench_reckoning",
    "plans:cut_keep",
    "plans:cut_stop",
    "plans:cut_paper",
    "plans:timetable_keep",
    "plans:timetable_paper",
    "plans:time_back",
    "schedule:use_log",
}
WRITES = re.compile(r"^\s*(INSERT|UPDATE|DELETE|REPLACE)", re.IGNORECASE)


def all_addresses(resolver=None, space="") -> list[tuple[str, URLPattern]]:
    found = []
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            found += all_addresses(entry, f"{entry.namespace}:" if entry.namespace else space)
        else:
            found.append((f"{space}{entry.name}", entry))
    return found


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def whole_shop(owner):
    """A shop with one of everything; how each parameter of an address is filled."""
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    photo_to_tap(owner, "padauk")
    piece, out = boards(owner, 2, wood="padauk")
    done = work.move(owner, work.job(owner, plan), "under way", "finished")
    work.give(owner, done, "take", out)
    quote = work.quote(owner, plan)
    a_rack(owner)
    week = a_week(owner)
    evenings = {
        "plans": kept_on_paper(owner, making_of_plan(plan.pk)),
        "jobs": kept_on_paper(owner, making_of_job(done.pk)),
    }
    sawings = {"plans": sawn(owner, cutting_of_plan(plan)), "jobs": sawn(owner, cutting_of(done))}
    books = {
        "plans": ask_for_book(who=owner, binding=binding_of(plan), paper="A4"),
        "jobs": ask_for_book(who=owner, binding=binding_of_job(done.pk), paper="letter"),
    }
    build_sheet_of_then(plan)
    ledger = a_ledger(owner)
    run_waiting_tasks()
    log = a_log(owner, plan, done)
    numbers = {"number": 1, "first": 1, "second": 1}
    return {
        "people": somebody().pk,
        "designs": design.pk,
        "plans": plan.pk,
        "plan_pk": plan.pk,
        "quotes": quote.pk,
        "quote_pk": quote.pk,
        "token": link_to(owner, quote),
        "link_pk": PrivateLink.objects.get().pk,
        "place": 1,
        "rest": "somewhere/else",
        "draft_pk": work.draft(owner, plan).pk,
        "jobs": done.pk,
        "job_pk": done.pk,
        "listings": work.listing(owner, done).pk,
        "out": out.mark,
        "common": design.grid_id,
        "wood_id": "padauk",
        "supplier_pk": piece.lot.delivery.supplier_id,
        "delivery_pk": piece.lot.delivery_id,
        "mark": piece.mark,
        "supply_pk": glue(owner).pk,
        "stocktake_pk": begin_stocktake(who=owner).pk,
        "sheet_pk": labels_made(owner, piece).pk,
        "act": "move",
        "key": "safe",
        "drawing": "laid",
        **ledger,
        **week,
        **on_the_wall(owner),
        "book_pk": {space: book.pk for space, book in books.items()},
        "made_pk": {space: timetable.pk for space, timetable in evenings.items()},
        "cut_pk": {space: sheet.pk for space, (sheet, _) in sawings.items()},
        "board": {space: mark for space, (_, mark) in sawings.items()},
        "entry_pk": {"plans": log["plan_entry"], "jobs": log["job_entry"]},
        "operation": "crosscut",
        **numbers,
    }


def address_of(name: str, pattern: URLPattern, filled: dict) -> str:
    values = {}
    for parameter in pattern.pattern.converters:
        if parameter == "design_pk":
            values[parameter] = filled["designs"]
        elif parameter == "photo_pk":
            values[parameter] = ColourPhoto.objects.get().pk
        elif parameter in ("book_pk", "cut_pk", "made_pk", "board", "entry_pk"):
            values[parameter] = filled[parameter][name.split(":")[0]]
        elif parameter == "pk":
            values[parameter] = filled[name.split(":")[0]]
        else:
            values[parameter] = filled[parameter]
    return reverse(name, kwargs=values)


def test_nobody_sees_anything_but_the_sign_in(db, client, whole_shop):
    for name, pattern in all_addresses():
        if name in PUBLIC:
            continue
        address = address_of(name, pattern, whole_shop)
        answers = [client.post(address)] if name in POST_ONLY else [client.get(address), client.post(address)]
        for answer in answers:
            assert answer.status_code == 302 and answer.url.startswith(reverse("people:sign_in")), name


def test_the_owner_gets_a_page_of_its_own_title_one_heading_and_the_content_policy_and_no_get_writes(
    owner_client, whole_shop
):
    owner_client.get("/")
    titles = {}
    for name, pattern in all_addresses():
        if name in POST_ONLY:
            assert owner_client.get(address_of(name, pattern, whole_shop)).status_code == 405, name
            continue
        with CaptureQueriesContext(
            connection,
        ) as queries:
            answer = owner_client.get(address_of(name, pattern, whole_shop))
        assert answer.status_code in ((404,) if name == "offered:nowhere" else (200, 302)), (name, answer.status_code)
        written = [q["sql"] for q in queries if WRITES.match(q["sql"])]
        assert not written, (name, written)
        if name in PUBLIC:
            continue
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"], name
        body = answer.content.decode() if "html" in answer.headers["Content-Type"] else ""
        if "<html" not in body:
            continue
        assert body.count("<h1") == 1, name
        title = re.search(r"<title>(.*?)</title>", body)[1]
        assert title not in titles, (name, titles.get(title))
        titles[title] = name


def test_addresses_with_nonsense_are_not_found_rather_than_broken(owner_client, whole_shop):
    for address in (
        "/people/999999/", "/people/999999/held.json", "/people/999999/erase/",
        "/designs/999999/", "/plans/999999/", "/plans/reckon/999999/", "/woods/nonsense/", "/workshop/nonsense/",
        "/pictures/999999.png", "/woods/padauk/colour/999999/", "/plans/999999/build-sheet.pdf", "/nowhere/",
        "/woods/suppliers/999999/", "/woods/deliveries/999999/", "/woods/rack/X999/",
        "/quotes/999999/link/", "/quotes/999999/answer/", "/offer/999999/",
        "/quotes/999999/", "/quotes/new/999999/", "/quotes/999999/quote.pdf",
        "/quotes/drafts/999999/", "/quotes/drafts/999999/look/", "/quotes/from/999999/",
        f"/quotes/drafts/{'9' * 30}/", "/jobs/999999/", "/jobs/999999/wood/",
        "/jobs/accept/999999/", "/listings/999999/", "/listings/new/999999/",
        "/plans/999999/cut/", "/jobs/999999/cut/", "/plans/999999/cut/doing/", "/jobs/999999/cut/doing/",
        "/jobs/999999/cut/doing/X999/", "/jobs/999999/time/", "/plans/999999/time/", "/jobs/999999/time/1/",
        "/plans/999999/book/", "/jobs/999999/book/", "/plans/999999/book/1/shop-book.pdf",
        "/plans/999999/drawings/", "/jobs/999999/drawings/set-ups/", "/plans/999999/drawings/laid.svg",
        "/payments/999999/", "/payments/999999/pay/", "/payments/credit/999999/", "/payments/owed/999999/",
        "/payments/new/?for=quote-999999", "/payments/1/invoices.csv", "/payments/99999999999999999999/payments.csv",
        "/plans/999999/price/", "/jobs/999999/price/", "/plans/999999/price/lower/", "/plans/reckon/999999/lower/",
        "/plans/999999/preview/", "/jobs/999999/preview/board.png", "/plans/reckon/999999/board.png",
    ):  # fmt: skip
        assert owner_client.get(address).status_code == 404, address


def test_a_helper_sees_no_prices_and_no_settings(db, client, whole_shop):
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    # The rack is the helper's too; what is worth money is left out of it (tests/lumber says so).
    rack = {"lumber:rack", "lumber:rack_csv", "lumber:piece", "lumber:supplies", "lumber:supply"}
    rack |= {"plans:shorts"}
    rack |= {"lumber:stocktakes", "lumber:stocktake", "lumber:stocktake_piece"}
    rack |= {"lumber:promised", "lumber:fit", "lumber:short"}
    rack |= {"lumber:labels", "lumber:label_sheet", "lumber:label_sheet_state", "lumber:label_sheet_pdf"}
    # So are jobs and their wood, and what is listed, without its price (tests/jobs, tests/listings).
    jobs = {"jobs:jobs", "jobs:job", "jobs:wood", "jobs:back", "listings:listings", "listings:listing"}
    # So is when somebody is in the shop, and what its glue asks for; the owner writes both.
    jobs |= {"schedule:week", "workshop:gluing"}
    # So is the time log; of entries that are not theirs they see what was written, and change nothing.
    jobs |= {"schedule:log", "jobs:time", "plans:time"}
    # So is what is cut, of a job and of a plan.
    jobs |= {name for name, _ in all_addresses() if re.match(r"(plans|jobs):cut(_|$)", name)} - POST_ONLY
    jobs |= {"plans:timetable_doing", "jobs:timetable_doing"}
    # So are the working drawings, but for where the money goes (tests/plans/drawings).
    jobs |= {name for name, _ in all_addresses() if re.match(r"(plans|jobs):drawings(_|$)", name)}
    # So is the shop book, which has no prices in it.
    jobs |= {name for name, _ in all_addresses() if re.match(r"(plans|jobs):book(_|$)", name)}
    # So is how the board will look.
    jobs |= {"plans:preview", "plans:preview_png", "jobs:preview", "jobs:preview_png"}
    owners = ("workshop", "lumber", "plans", "home", "quotes", "payments", "jobs", "listings", "schedule")
    for name, pattern in all_addresses():
        if name in rack | jobs:
            assert client.get(address_of(name, pattern, whole_shop)).status_code == 200, name
        elif name.split(":")[0] in owners and name not in POST_ONLY:
            assert client.get(address_of(name, pattern, whole_shop)).status_code == 403, name
