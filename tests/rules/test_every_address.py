"""Every address of the app: nobody is sent to sign in, the owner gets a page, and no GET writes."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from shopapp.common.models import PrivateLink
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design
from shopapp.jobs.binding import binding_of_job
from shopapp.jobs.making import making_of_job
from shopapp.listings.selling.actions import sell
from shopapp.listings.selling.ending import offer_again
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
from tests.support.book_pages import texts_of
from tests.support.books import build_sheet_of_then
from tests.support.cards import papers_of
from tests.support.counting import labels_made
from tests.support.cutagain import spoiled
from tests.support.evenings import kept_on_paper
from tests.support.fairs import fair_pages
from tests.support.log import a_log
from tests.support.money import a_ledger
from tests.support.offers import link_to
from tests.support.people import somebody
from tests.support.pieces import a_trade
from tests.support.rack import boards, glue
from tests.support.sawing import a_rack, cutting_of, sawn
from tests.support.shop import add_woods, board, design_with_pattern
from tests.support.visitors import a_public_page
from tests.support.week import a_week, on_the_wall
from tests.support.wood_photos import photo_to_tap

CUSTOMER = "Wren Attwater"
PUBLIC = {"people:sign_in", "common:healthz"}
# What private links open, to whoever has one (tests/jobs/offered); the last is all that lies beside them.
PUBLIC |= {"offered:offer", "offered:picture", "offered:pdf", "offered:nowhere"}
# What visitors see of the shop once its page is open (tests/listings/public); the last is all that lies beside it.
PUBLIC |= {"shop:shop", "shop:piece", "shop:photo", "shop:asked", "shop:nowhere"}
NOT_THERE = {"offered:nowhere", "shop:nowhere"}
POST_ONLY = {
    "people:sign_out",
    "people:member_act",
    "people:take",
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
    "jobs:agree",
    "jobs:move",
    "jobs:spoiled_back",
    "jobs:time_back",
    "jobs:tonight_send",
    "listings:again",
    "listings:fair_home",
    "listings:fair_send",
    "listings:fair_stands",
    "listings:enquiry_act",
    "listings:switch_shop",
    "listings:take_enquirer",
    "listings:gone",
    "listings:channel_aside",
    "listings:commission",
    "listings:gives_way",
    "listings:parcel_act",
    "listings:photo_act",
    "listings:piece_act",
    "listings:stands",
    "listings:take_off",
    "books:ask_paper",
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
OF_THE_BOOKS = {"month": 3, "what": "sold", "table": "months", "part": "earned"}
# Random letters: of a form, of a page against forgery, of the bench's own data.
KEY = re.compile(r'"[A-Za-z0-9_-]{32,64}"')
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
    customer = somebody(CUSTOMER, way="wren@reedbank.example", address="Mill Lane 3")
    asked = work.job(owner, plan, kind="commission", for_whom=CUSTOMER)
    done = work.move(owner, asked, "under way", "finished")
    work.give(owner, done, "take", out)
    quote = work.quote(owner, plan)
    listing = sold_and_back(owner, work.listing(owner, done))
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
    on_paper = papers_of(owner, listing.piece) | fair_pages(owner, listing.piece)
    run_waiting_tasks()
    log = a_log(owner, plan, done)
    numbers = {"first": 1, "second": 1, **a_public_page(owner, listing)}
    return {
        "people": customer.pk,
        "designs": design.pk,
        "plans": plan.pk,
        "plan_pk": plan.pk,
        "quotes": quote.pk,
        "quote_pk": quote.pk,
        "token": link_to(owner, quote),
        "link_pk": PrivateLink.objects.get().pk,
        "place": 1,
        "rest": "somewhere/else",
        "draft_pk": (draft := work.draft(owner, plan)).pk,
        "option_pk": draft.options.get().pk,
        "jobs": done.pk,
        "job_pk": done.pk,
        "listings": listing.pk,
        **on_paper,
        **a_trade(owner, listing),
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
        "part_pk": spoiled(owner, done).pk,
        **OF_THE_BOOKS,
        **numbers,
    }


def sold_and_back(owner, listing):
    """For sale again after a sale that fell through: its story has a price and a name in it."""
    sold = {"on": timezone.localdate(), "to_whom": CUSTOMER, "price": listing.price, "how": "cash"}
    sell(who=owner, piece=listing.piece, **sold)
    listing.refresh_from_db()
    offer_again(who=owner, listing=listing, seen_version=listing.edit_version)
    return listing


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
        assert answer.status_code in ((404,) if name in NOT_THERE else (200, 302)), (name, answer.status_code)
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
        f"/quotes/drafts/{'9' * 30}/", "/jobs/999999/", "/jobs/999999/wood/", "/jobs/999999/spoiled/",
        "/jobs/999999/done/",
        "/jobs/accept/999999/", "/listings/999999/", "/listings/new/999999/",
        "/listings/fairs/999999/", "/listings/fairs/999999/till/", "/listings/fairs/999999/pack/",
        "/listings/cards/papers/999999/", "/listings/cards/nonsense/", "/listings/cards/papers/999999/paper.pdf",
        "/listings/pieces/999999/", "/listings/pieces/999999/cost/",
        "/listings/pieces/number/999999/", "/listings/pieces/999999/photos/",
        "/listings/channels/999999/", "/listings/parcels/999999/", "/listings/parcels/pack/999999/",
        "/plans/999999/cut/", "/jobs/999999/cut/", "/plans/999999/cut/doing/", "/jobs/999999/cut/doing/",
        "/jobs/999999/cut/doing/X999/", "/jobs/999999/time/", "/plans/999999/time/", "/jobs/999999/time/1/",
        "/plans/999999/book/", "/jobs/999999/book/", "/plans/999999/book/1/shop-book.pdf",
        "/plans/999999/drawings/", "/jobs/999999/drawings/set-ups/", "/plans/999999/drawings/laid.svg",
        "/payments/999999/", "/payments/999999/pay/", "/payments/credit/999999/", "/payments/owed/999999/",
        "/payments/new/?for=quote-999999", "/payments/1/invoices.csv", "/payments/99999999999999999999/payments.csv",
        "/plans/999999/price/", "/jobs/999999/price/", "/plans/999999/price/lower/", "/plans/reckon/999999/lower/",
        "/books/1/", "/books/2026/13/", "/books/2026/nonsense/", "/books/2026/entries/nonsense/",
        "/books/2026/nonsense.csv", "/books/2026/entries/sold/?in=X", "/books/2026/wood/entries/nonsense/",
        "/books/2026/money/entries/nonsense/", "/books/99999999999999999999/",
        "/plans/999999/preview/", "/jobs/999999/preview/board.png", "/plans/reckon/999999/board.png",
    ):  # fmt: skip
        assert owner_client.get(address).status_code == 404, address


# What a helper gets: the bench and the rack. Every address that is not named here answers 403.
HELPERS = {
    "people:password",
    # A picture is shown to whoever may see what it belongs to (common/images).
    "common:image",
    # The rack; what is worth money is left out of it (tests/lumber says so).
    "lumber:rack", "lumber:rack_csv", "lumber:piece", "lumber:supplies", "lumber:supply",
    "plans:shorts",
    "lumber:stocktakes", "lumber:stocktake", "lumber:stocktake_piece",
    "lumber:promised", "lumber:fit", "lumber:short",
    "lumber:labels", "lumber:label_sheet", "lumber:label_sheet_state", "lumber:label_sheet_pdf",
    # Jobs and their wood, and what is listed, without its price and without whom it went to.
    "jobs:jobs", "jobs:season", "jobs:job", "jobs:wood", "jobs:back", "jobs:spoiled",
    "jobs:done", "listings:listings", "listings:listing", "listings:pieces", "listings:piece",
    # When somebody is in the shop, and what its glue asks for; the owner writes both.
    "schedule:week", "workshop:gluing",
    # The time log; of entries that are not theirs they see what was written, and change nothing.
    "schedule:log", "jobs:time", "plans:time",
    # What is done tonight.
    "plans:timetable_doing", "jobs:timetable_doing", "jobs:tonight", "jobs:tonight_away", "jobs:tonight_worker",
}  # fmt: skip
# Pictures, their grids and the bench where patterns are drawn; but not whose a picture is, which may name a customer.
HELPERS_DRAW = re.compile(r"designs:(?!whose$)")
# What is cut, the working drawings but for where the money goes, the shop book, and how the board will look.
HELPERS_DOORS = re.compile(r"(plans|jobs):(cut|drawings|book|preview)(_|$)")
# What a helper may send without saying anything in it; what else they may send stands in the tests of each app.
HELPERS_SEND = {
    "people:sign_out",
    "designs:bench_hints", "designs:bench_keep", "designs:rename", "designs:set_aside",
    "lumber:piece_act", "lumber:piece_undo",
    "lumber:stocktake_count", "lumber:stocktake_uncount", "lumber:supply_act", "lumber:supply_undo",
    "jobs:cut_paper", "plans:cut_paper", "jobs:tonight_send", "jobs:spoiled_back", "jobs:agree",
}  # fmt: skip


def is_a_helper_s(name: str) -> bool:
    """Whether a helper gets the page of an address."""
    page = name in HELPERS or HELPERS_DRAW.match(name) or HELPERS_DOORS.match(name)
    return bool(page) and name not in POST_ONLY


def test_what_a_helper_may_not_send_is_refused(db, client, whole_shop):
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    wrong = {}
    for name, pattern in all_addresses():
        if name in PUBLIC or is_a_helper_s(name):
            continue
        client.force_login(helper)
        code = client.post(address_of(name, pattern, whole_shop)).status_code
        # A page that is only looked at has nothing to send to.
        if (code in (403, 405)) == (name in HELPERS_SEND):
            wrong[name] = code
    assert not wrong, wrong


def test_a_helper_gets_what_is_at_the_bench_without_money_or_a_customer_s_name_and_nothing_else(
    db, client, owner, whole_shop
):
    shop = the_workshop()
    told = [shop.currency_symbol, shop.currency_code, "240.00", CUSTOMER.split()[1], "Mill Lane", "reedbank.example"]
    Design.objects.update(source="picture", rights="permission", rights_note=f"by {CUSTOMER}")
    client.force_login(owner)
    for page, words in (("jobs:job", told[3]), ("listings:listing", told[0]), ("designs:design", told[3])):
        address = reverse(page, args=[whole_shop[page.split(":")[0]]])
        assert words in client.get(address).content.decode(), "an owner is told"
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    wrong, found = {}, []
    for name, pattern in all_addresses():
        if name in PUBLIC | POST_ONLY:
            continue
        answer = client.get(address_of(name, pattern, whole_shop))
        if answer.status_code != (200 if is_a_helper_s(name) else 403):
            wrong[name] = answer.status_code
        if answer.status_code != 200 or (kind := answer.headers["Content-Type"]).startswith("image/png"):
            continue
        body = b"".join(answer.streaming_content) if answer.streaming else answer.content
        # Three random letters may be those of a currency.
        words = "\n".join(texts_of(body)) if "pdf" in kind else KEY.sub("", body.decode())
        found += [f"{name} says {one}" for one in told if one in words]
    assert not wrong, wrong
    assert not found
