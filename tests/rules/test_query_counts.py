"""A page asks the database as often with many rows as with few."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from planner.measures import Length
from shopapp.common.models import Letter, PrivateLink
from shopapp.listings.selling.actions import give
from shopapp.lumber.colours.actions import SampleFacts, keep_colour
from shopapp.lumber.counting.actions import Found, begin_stocktake, count_piece
from shopapp.lumber.models import WoodOnHand
from shopapp.lumber.stock.actions import move_piece
from shopapp.lumber.supplies.actions import use_supply
from shopapp.payments.actions import expect
from shopapp.plans.actions import keep_plan
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.doors import binding_of
from shopapp.plans.cutting.asmade.actions import keep_measure
from shopapp.plans.cutting.asmade.planning import Measured
from shopapp.plans.cutting.doing.actions import report
from shopapp.plans.cutting.doing.planning import boards_of
from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.quotes.answering.actions import answer_question, ask
from shopapp.workshop.gluing.actions import add_material
from shopapp.workshop.models import ClampKind, Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.cutagain import spoiled
from tests.support.evenings import kept as kept_evenings
from tests.support.log import a_log
from tests.support.money import deal
from tests.support.offers import link_to, page_of, typed
from tests.support.people import somebody
from tests.support.rack import boards, glue, supplier
from tests.support.sawing import a_rack, cutting_of, sawn
from tests.support.shop import add_woods, board, design_with_pattern
from tests.support.week import a_week, on_the_wall
from tests.support.wood_photos import photo_to_tap

# How many queries each page takes, sign-in and session included; a change is reviewed like any other.
BASELINE = {"home:start": 17, "designs:designs": 5, "plans:plans": 4, "lumber:woods": 4, "workshop:settings": 3}


def queries(client, address: str) -> int:
    with CaptureQueriesContext(connection) as taken:
        assert client.get(address).status_code == 200
    return len(taken)


def counted(client, addresses: dict[str, str]) -> dict[str, int]:
    """How many queries each of several pages takes, of one and the same shop."""
    return {name: queries(client, address) for name, address in addresses.items()}


def above(counts: dict[str, int], most: dict[str, int]) -> dict[str, int]:
    return {name: count for name, count in counts.items() if count > most[name]}


def test_a_list_takes_as_many_queries_with_many_rows_as_with_few(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    few = design_with_pattern(owner)
    keep_plan(who=owner, version=few.versions.get(), board=board(), workshop=the_workshop())
    lists = {name: reverse(name) for name in BASELINE}
    with_few = counted(owner_client, lists)
    for i in range(4):
        more = design_with_pattern(owner, name=f"Flag {i}")
        keep_plan(who=owner, version=more.versions.get(), board=board(), workshop=the_workshop())
    assert counted(owner_client, lists) == with_few
    assert above(with_few, BASELINE) == {}


@pytest.mark.parametrize(("name", "most"), [("designs:design", 10), ("designs:grid", 8), ("designs:reduce", 6)])
def test_a_picture_s_pages_take_a_fixed_number_of_queries(owner, owner_client, name, most):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    small = design_with_pattern(owner)
    large = design_with_pattern(owner, "\n".join("." + "kyr" * 12 + "." for _ in range(36)), "Large")
    counts = {queries(owner_client, reverse(name, args=[d.pk])) for d in (small, large)}
    assert len(counts) == 1 and counts.pop() <= most


def test_the_reckoning_takes_a_fixed_number_of_queries(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    small = design_with_pattern(owner)
    large = design_with_pattern(owner, "\n".join("." + "kyr" * 12 + "." for _ in range(36)), "Large")
    counts = {queries(owner_client, reverse("plans:reckoning", args=[d.pk])) for d in (small, large)}
    assert len(counts) == 1
    assert counts.pop() <= 11


def test_the_colours_of_a_wood_take_as_many_queries_when_it_was_given_many(owner, owner_client):
    add_woods("padauk")
    address = reverse("lumber:colour", args=["padauk"])

    def give_a_colour():
        row, photo = WoodOnHand.objects.get(), photo_to_tap(owner, "padauk")
        places = {"card": (150, 200), "wood": (450, 200)}
        keep_colour(
            who=owner,
            row=row,
            photo=photo,
            card="white",
            places=places,
            seen_version=row.edit_version,
            facts=SampleFacts(piece="by the vice"),
        )
        return photo

    tapped = give_a_colour().get_absolute_url()
    with_one, with_one_tapped = queries(owner_client, address), queries(owner_client, tapped)
    for _ in range(3):
        give_a_colour()
        photo_to_tap(owner, "padauk")
    assert queries(owner_client, address) == with_one <= 6
    assert queries(owner_client, tapped) == with_one_tapped <= 6


def test_the_shop_books_of_a_plan_take_as_many_queries_when_there_are_many_that_wait(owner, owner_client):
    plan = work.kept(owner)
    address = reverse("plans:book", args=[plan.pk])
    ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    with_one = queries(owner_client, address)
    for name in ("Saltmarsh bench", "Quay bench", "Loft bench"):
        Workshop.objects.update_or_create(pk=1, defaults={"name": name})
        ask_for_book(who=owner, binding=binding_of(plan), paper="A4")
    assert queries(owner_client, address) == with_one <= 10


def test_the_week_takes_as_many_queries_with_many_hours_and_bookings_as_with_few(owner, owner_client):
    address = reverse("schedule:week")
    empty = queries(owner_client, address)
    a_week(owner)
    assert queries(owner_client, address) == empty <= 8


def test_the_page_of_glue_and_clamps_takes_as_many_queries_with_many_records_as_with_few(owner, owner_client):
    address = reverse("workshop:gluing")
    on_the_wall(owner)
    few = queries(owner_client, address)
    for number in range(3):
        add_material(who=owner, model=ClampKind, values={"name": f"Clamps {number}"})
    assert queries(owner_client, address) == few <= 8


def test_the_shorts_take_as_many_queries_with_many_pieces_and_plans_as_with_few(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    address = reverse("plans:shorts")

    def more_of_everything(*names):
        for name in names:
            design = design_with_pattern(owner, name=name)
            keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
            for wood in ("sycamore", "walnut-black", "birch-yellow", "padauk"):
                boards(owner, 4, wood=wood, length=Length.of_mm(500))

    more_of_everything("Flag")
    # The first time each plan's record is read; after that what it wants is at hand.
    assert queries(owner_client, address) <= 10
    with_few = queries(owner_client, address)
    more_of_everything("Flag 1", "Flag 2", "Flag 3")
    queries(owner_client, address)
    assert queries(owner_client, address) == with_few <= 9


# The rack with one piece and with many of several woods, deliveries and suppliers.
RACK_BASELINE = {
    "lumber:rack": 8,
    "lumber:worth": 6,
    "lumber:promised": 5,
    "lumber:fit": 7,
    "lumber:short": 8,
    "lumber:deliveries": 5,
    "lumber:suppliers": 4,
    "lumber:buy": 7,
    "lumber:buy_table": 5,
    "lumber:piece": 7,
    "lumber:delivery": 9,
    "lumber:supplies": 4,
    "lumber:supply": 8,
    "lumber:labels": 9,
    "lumber:stocktakes": 7,
    "lumber:stocktake": 8,
    "lumber:stocktake_close": 11,
}


def test_the_rack_s_pages_take_a_fixed_number_of_queries(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    piece, _ = boards(owner, 2)
    oil = glue(owner)
    counting = begin_stocktake(who=owner)
    count_piece(who=owner, stocktake=counting, piece=piece, counted=Found(found=False))
    given = {"lumber:piece": [piece.mark], "lumber:delivery": [piece.lot.delivery_id], "lumber:supply": [oil.pk]}
    given |= {"lumber:stocktake": [counting.pk], "lumber:stocktake_close": [counting.pk]}
    pages = {name: reverse(name, args=given.get(name)) for name in RACK_BASELINE}
    with_few = counted(owner_client, pages)
    for i, wood in enumerate(("sycamore", "walnut-black", "padauk")):
        for one in boards(owner, 3, wood=wood, place=f"rack {i}"):
            count_piece(who=owner, stocktake=counting, piece=one, counted=Found(place=f"shelf {i}"))
        begin_stocktake(who=owner)
        boards(owner, 3, wood=wood, place=f"rack {i}")
        supplier(f"Yard {i}")
        glue(owner, f"Oil {i}")
        use_supply(who=owner, supply=oil, amount=Decimal(1), on=date(2026, 3, 2))
    for place in ("loft", "bench", "yard"):
        piece.refresh_from_db()
        move_piece(who=owner, piece=piece, place=place)
    assert counted(owner_client, pages) == with_few
    assert above(with_few, RACK_BASELINE) == {}


# Work in hand, with one of each and with many, a piece reserved and one out for each job.
WORK_BASELINE = {
    "quotes:quotes": 8,
    "quotes:quote": 15,
    "quotes:draft": 11,
    "quotes:look": 20,
    "jobs:jobs": 6,
    "jobs:season": 24,
    "jobs:job": 29,
    "jobs:wood": 13,
    "jobs:spoiled": 8,
    "jobs:done": 17,
    "listings:listings": 5,
    "listings:listing": 20,
    "listings:pieces": 9,
    "listings:piece": 24,
}


def talked_over(owner, quote) -> None:
    """A link, a question by it, its answer, and a letter that waits."""
    link_to(owner, quote)
    link = PrivateLink.objects.first()
    ask(quote=quote, link=link, words="How heavy is it?")
    answer_question(who=owner, quote=quote, words="About 900 g.")
    Letter.objects.create(subject=link.subject, about="offer", to="wren@quay.example", link=link)


def test_pages_of_work_in_hand_take_a_fixed_number_of_queries(owner, owner_client):
    plan = work.kept(owner)
    quote = work.quote(owner, plan)
    talked_over(owner, quote)

    def work_on():
        job = work.move(owner, work.job(owner, plan), "under way", "finished")
        held, out = boards(owner, 2, wood="padauk")
        work.give(owner, job, "reserve", held)
        work.give(owner, job, "take", out)
        return job, work.listing(owner, job)

    job, listing = work_on()
    draft = work.draft(owner, plan)
    given = {"quotes:quote": [quote.pk], "quotes:draft": [draft.pk], "quotes:look": [draft.pk]}
    given |= {"listings:listing": [listing.pk], "listings:piece": [listing.piece_id]}
    given |= {"jobs:job": [job.pk], "jobs:wood": [job.pk], "jobs:spoiled": [job.pk], "jobs:done": [job.pk]}
    spoiled(owner, job)
    pages = {name: reverse(name, args=given.get(name)) for name in WORK_BASELINE}
    with_few = counted(owner_client, pages)
    for _ in range(3):
        spoiled(owner, job)
        talked_over(owner, work.quote(owner, plan))
        talked_over(owner, quote)
        work.draft(owner, plan)
        work_on()
    work.give(owner, job, "take", *boards(owner, 3, wood="walnut-black"))
    assert counted(owner_client, pages) == with_few
    assert above(with_few, WORK_BASELINE) == {}


def test_the_page_of_a_link_takes_a_fixed_number_of_queries_open_and_accepted(owner, client):
    plan = work.kept(owner)
    few, many = work.quote(owner, plan), work.quote(owner, plan, work.beside(owner, plan, quantity=2))
    for _ in range(3):
        talked_over(owner, many)
    tokens = [link_to(owner, quote) for quote in (few, many)]
    assert {queries(client, page_of(token)) for token in tokens} <= {8}
    for token in tokens:
        client.post(page_of(token), typed(token))
    assert {queries(client, page_of(token)) for token in tokens} <= {10}


@pytest.mark.parametrize(("name", "most"), [("jobs:time", 7), ("schedule:log", 6), ("schedule:times", 6)])
def test_the_pages_of_the_time_log_take_a_fixed_number_of_queries(owner, owner_client, name, most):
    plan = work.kept(owner)
    job = work.job(owner, plan)
    a_log(owner, plan, job)
    address = reverse(name, args=[job.pk] if name == "jobs:time" else [])
    # What was learned is at hand after the first time.
    queries(owner_client, address)
    with_few = queries(owner_client, address)
    for _ in range(4):
        a_log(owner, plan, job)
    queries(owner_client, address)
    assert queries(owner_client, address) == with_few <= most


# The saw and the yard, with the few boards of one board and the many of six, cut and brought back in part.
SAW_BASELINE = {"cut_doing": 19, "cut_back": 19, "cut_sheet": 9, "cut_as_made": 7}


def test_the_pages_at_the_saw_take_a_fixed_number_of_queries(owner, owner_client):
    a_rack(owner, each=2)
    plan = work.kept(owner)
    few = cutting_of(work.job(owner, plan))
    one, mark = sawn(owner, few)
    a_rack(owner, each=12)
    six = keep_plan(who=owner, version=plan.version, board=board(quantity=6), workshop=the_workshop())
    many = cutting_of(work.job(owner, six))
    sheet, of_many = sawn(owner, many)
    for other in boards_of(sheet.form)[1:]:
        report(who=owner, cutting=many, sheet=sheet, board=other, rough=None)
    for whose, kept, times in ((few, one, 1), (many, sheet, 5)):
        for _ in range(times):
            keep_measure(who=owner, cutting=whose, sheet=kept, measured=Measured(Length.of_mm(17)), keep="borders")
    given = {"cut_back": [[mark], [of_many]], "cut_doing": [[], []]}
    given = {name: given.get(name, [[one.pk], [sheet.pk]]) for name in SAW_BASELINE}
    of_few, of_six = (
        counted(owner_client, {name: whose.to(name, *end[at]) for name, end in given.items()})
        for at, whose in enumerate((few, many))
    )
    assert of_few == of_six
    assert above(of_few, SAW_BASELINE) == {}


DRAWINGS_BASELINE = {"drawings": 7, "drawings_set_ups": 7}


def test_working_drawings_take_as_many_queries_of_many_boards_as_of_few(owner, owner_client):
    a_week(owner)
    a_rack(owner, each=14)
    plan = work.kept(owner)
    six = keep_plan(who=owner, version=plan.version, board=board(quantity=6), workshop=the_workshop())
    for one in (plan, six):
        sawn(owner, cutting_of_plan(one))
        kept_evenings(owner, making_of_plan(one.pk))
    of_one, of_six = (
        counted(owner_client, {name: reverse(f"plans:{name}", args=[whose.pk]) for name in DRAWINGS_BASELINE})
        for whose in (plan, six)
    )
    assert of_one == of_six
    assert above(of_one, DRAWINGS_BASELINE) == {}


def test_a_preview_takes_as_many_queries_of_many_woods_as_of_few(owner, owner_client):
    plan = work.kept(owner)
    many = keep_plan(who=owner, version=plan.version, board=board(border_wood="padauk"), workshop=the_workshop())
    for name in ("preview", "preview_png"):
        few, more = (queries(owner_client, reverse(f"plans:{name}", args=[one.pk])) for one in (plan, many))
        assert more == few <= 6


def test_the_buying_list_takes_as_many_queries_for_many_jobs_as_for_few(owner, owner_client):
    a_rack(owner, each=1, length=Length.of_mm(500))
    plan = work.kept(owner)

    def work_on(label):
        done = work.move(owner, work.job(owner, plan, label=label), "under way", "finished")
        work.give(owner, done, "take", *boards(owner, 1, wood="walnut-black"))
        work.job(owner, plan, label=f"{label} again")

    work_on("Flag")
    address = reverse("jobs:buying")
    # The first time the finished plans' records are read; after that what stayed in their boards is at hand.
    queries(owner_client, address)
    with_few = queries(owner_client, address)
    for n in range(3):
        work_on(f"Flag {n}")
        boards(owner, 2, wood="padauk", length=Length.of_mm(400))
    queries(owner_client, address)
    assert queries(owner_client, address) == with_few <= 20


def test_a_person_s_page_takes_as_many_queries_with_many_things_they_had_as_with_few(owner, owner_client):
    person, plan = somebody(), work.kept(owner)

    def had() -> None:
        quote = work.quote(owner, plan, person=person)
        job = work.move(owner, work.job(owner, person=person), "under way", "finished")
        given = {"piece": work.listing(owner, job).piece, "to_whom": person}
        give(who=owner, on=timezone.localdate(), **given)
        expect(owner, deal(key=f"quote {quote.pk}", person=person))

    had()
    addresses = [
        person.get_absolute_url(),
        *(reverse(f"people:{name}", args=[person.pk]) for name in ("held", "erase")),
    ]
    few = [queries(owner_client, address) for address in addresses]
    for _ in range(3):
        had()
    assert [queries(owner_client, address) for address in addresses] == few
