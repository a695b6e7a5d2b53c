"""The demo is filled once, tells its password once, and every number in it was computed."""

from __future__ import annotations

import io
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.management import call_command
from django.db.models import Sum
from django.test import Client, override_settings
from django.urls import reverse
from django.utils import timezone

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design
from shopapp.home.demo_pictures import PICTURES
from shopapp.jobs.models import Job
from shopapp.jobs.needs import needs_of
from shopapp.jobs.readers import jobs_told_wrongly
from shopapp.listings.checks import listings_told_wrongly
from shopapp.listings.fairs.readers import fair_view, offered, there
from shopapp.listings.models import Enquiry, Fair, Listing, Piece
from shopapp.listings.pieces.facts import facts
from shopapp.listings.pieces.waiting import what_waits
from shopapp.lumber.colours.ageing import pieces_that_age
from shopapp.lumber.colours.readers import faults_of_colours, kept_colours, tones_of
from shopapp.lumber.models import Lot, StockPiece, WoodOnHand
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.payments.balances import balances_of
from shopapp.payments.checks import balances_that_cannot_be, numbers_with_gaps, sums_that_are_not_their_lines
from shopapp.payments.models import Invoice
from shopapp.payments.readers import standing
from shopapp.people.models import Member
from shopapp.plans.cutting.checks import sheets_that_do_not_hold
from shopapp.plans.models import CutSheet, KeptTimetable, Plan, ShopBook
from shopapp.plans.timetable.checks import timetables_that_do_not_hold
from shopapp.quotes.checks import figures_that_are_not_as_kept, quotes_told_wrongly
from shopapp.quotes.models import Quote, QuoteDraft
from shopapp.schedule.log.planning import learned
from shopapp.schedule.models import Booking, TimeEntry
from shopapp.schedule.planning import sessions_between
from shopapp.workshop.planning import glue_shop_of
from shopapp.workshop.readers import adhesives, finishes, the_workshop
from tests.support.pieces import told_wrongly


@pytest.fixture(scope="module")
def demo(rows_of_this_file):
    """Filled as a first start fills it, and its papers made as the worker makes them."""
    said = io.StringIO()
    with override_settings(IS_DEMO=True):
        call_command("fill_demo", stdout=said)
        run_waiting_tasks()
        yield said.getvalue()


@pytest.fixture(autouse=True)
def is_taken_back(db):
    """What a test does to the demo."""


def test_three_designs_six_woods_and_two_plans(demo):
    assert "Sign in as reedbank with the password" in demo
    assert set(Design.objects.values_list("name", flat=True)) == set(PICTURES)
    assert WoodOnHand.objects.count() == 6
    assert {plan.design.name for plan in Plan.objects.all()} == {"Lantern on the jetty", "Kingfisher"}
    assert all(plan.matches_its_hash and plan.price > 0 for plan in Plan.objects.all())


def test_the_lantern_has_a_shop_book_of_everything_that_is_kept_of_it(demo):
    book = ShopBook.objects.get()
    assert book.label == "Lantern for the boathouse" or (book.sheet and book.timetable)
    assert book.document is not None


def test_a_dozen_boards_lie_on_the_rack_one_split_and_one_set_aside_and_eleven_shorts(demo):
    assert Lot.objects.aggregate(boards=Sum("count"))["boards"] == 12 + 11
    here = StockPiece.objects.filter(state="here")
    assert here.count() == 13 + 11 and here.exclude(set_aside="").count() == 1
    assert sum(here.values_list("worth", flat=True)) == sum(lot.cost for lot in Lot.objects.all())
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def test_two_woods_were_photographed_dry_oiled_and_aged_and_are_shown_as_they_leave_the_shop(demo):
    for wood, fresh, dry in (("walnut-black", (84, 58, 43), (136, 108, 88)), ("padauk", (180, 58, 26), (205, 90, 52))):
        row = WoodOnHand.objects.get(wood=wood)
        [piece] = pieces_that_age(kept_colours(row))
        assert [one.colour.state for one in piece.samples] == ["dry", "oiled", "oiled"]
        assert [one.colour.finish for one in piece.samples] == ["", "Hard oil", "Hard oil"]
        assert piece.samples[-1].age == "6 months later" and piece.samples[-1].shift.difference > 3.5
        # What is measured in a drawn photo is the colour it was drawn in.
        for told, drawn in zip(tones_of([wood])[wood], (fresh, dry), strict=True):
            measured = bytes.fromhex(told.removeprefix("#"))
            assert max(abs(one - other) for one, other in zip(measured, drawn, strict=True)) <= 2
        assert all(one.colour.remarks == [] for one in piece.samples)
    assert faults_of_colours() == []


def test_the_lantern_has_its_evenings_and_they_are_booked(demo):
    kept = KeptTimetable.objects.get(key=Job.objects.get(kind="commission").key)
    assert timetables_that_do_not_hold() == []
    assert Booking.objects.filter(key=kept.key).count() > 3


def test_a_lantern_is_begun_three_of_its_rows_are_glued_and_the_next_is_large_on_tonight_s_page(demo, client):
    client.force_login(Member.objects.get())
    found = client.get(reverse("jobs:tonight")).context
    fair = Job.objects.get(label="Lantern for the harbour fair")
    assert found["now"].made.job == fair and found["now"].panel.done == 3 < found["now"].panel.many
    assert [timer.alone.key for timer in found["tonight"].timers] and found["tonight"].left_over == []
    assert jobs_told_wrongly() == []


def test_the_time_of_the_first_lantern_is_learned_from_and_a_slip_of_the_hand_is_mended(demo):
    assert learned(the_workshop()).jobs == 1
    assert [entry.mended_by.minutes for entry in TimeEntry.objects.filter(minutes__gt=200)] == [45]


def test_a_row_that_lay_ready_was_spoiled_and_a_corner_of_the_first_lantern_is_mended_against_the_reserve(demo):
    begun = Job.objects.get(label="Lantern for the harbour fair")
    assert begun.part_entries.filter(kind="spoiled").count() >= 1
    repair = Job.objects.get(kind="repair")
    assert (repair.of.label, repair.settled, repair.state) == ("The first lantern", "reserve", "under way")


def test_a_gift_and_an_accepted_commission_have_wood_reserved_and_the_quote_its_paper(demo):
    gift, commission = Job.objects.filter(kind__in=("gift", "commission")).order_by("kind").reverse()
    assert (gift.kind, commission.kind) == ("gift", "commission")
    assert commission.quote.paper.document is not None and commission.quote.for_whom == "Wren Attwater"
    assert commission.quote.person.jobs.get() == commission
    assert jobs_told_wrongly() == [] and quotes_told_wrongly() == []
    reserved = {job.pk: StockPiece.objects.filter(state="here", demand__key=job.key) for job in (gift, commission)}
    assert reserved[gift.pk].count() == 1
    # Enough of every wood of the plan, added up plainly in cubic millimetres; a board foot is 144 cubic inches.
    for wood, feet in needs_of(commission.plan).items():
        pieces = reserved[commission.pk].filter(wood=wood)
        volume = sum(piece.thickness.mm * piece.width.mm * piece.length.mm for piece in pieces)
        assert volume / (144 * Fraction("25.4") ** 3) >= feet, wood


def test_one_quote_is_written_with_two_boards_and_one_was_sent_and_asked_about(demo):
    draft = QuoteDraft.objects.get(made=None)
    assert draft.options.count() == 2 and draft.person.name == "Ash Ferrow"
    sent = Quote.objects.get(draft__isnull=False)
    assert sent.events.first().kind == "sent" and "darker wood" in sent.said.get().words
    assert sent.there_by and sent.deposit and figures_that_are_not_as_kept() == []


def test_one_plan_comes_out_of_the_box_of_shorts_and_the_other_lacks_birch(demo, client):
    client.force_login(Member.objects.get())
    found = client.get(reverse("plans:shorts")).context["found"]
    kingfisher, lantern = found.becoming
    assert kingfisher.plan.design.name == "Kingfisher" and kingfisher.made.can_be_made and kingfisher.made.spared
    assert [line.wood.name for line in lantern.lacking] == ["Yellow birch"]
    assert (found.counted, found.too_short) == (10, 1)


def test_the_commission_s_wood_has_a_cut_plan_that_holds_hardly_dearer_than_its_floor_and_its_boards_promised(demo):
    sheet = CutSheet.objects.get()
    commission = Job.objects.get(kind=Job.Kind.COMMISSION)
    assert (sheet.key, sheet.plan) == (commission.key, commission.plan)
    assert 0 < sheet.floor <= sheet.cost <= sheet.floor * 1.02
    assert sheet.set_ups_record["steps"] and sheets_that_do_not_hold() == []
    promised = set(StockPiece.objects.filter(demand__key=commission.key).values_list("mark", flat=True))
    assert {piece["mark"] for piece in sheet.pieces} <= promised


def test_the_week_has_evenings_and_a_saturday_and_the_glue_names_its_sheet(demo):
    monday = date(2027, 3, 1)
    sessions = sessions_between(monday, 1)
    assert len(sessions) == 6 and sum(end - start for start, end in sessions) * 5 == (5 * 3 + 8) * 60
    assert not any(row.is_assumed for row in (*adhesives(), *finishes()))
    assert {jig.count for jig in glue_shop_of(the_workshop()).jigs} == {1}


def test_the_commission_s_deposit_is_paid_in_two_parts_and_another_invoice_waits(demo):
    waits, deposit = balances_of(Invoice.objects.order_by("number"))
    assert (waits.invoice.kind, waits.open, waits.paid) == ("whole", Decimal("82.50"), 0)
    assert deposit.invoice.kind == "deposit" and deposit.invoice.payments.count() == 2 and deposit.open == 0
    commission = Job.objects.get(kind="commission")
    how = standing(f"quote {commission.quote_id}")
    assert how.deposit_is_in and how.paid == how.deposit == deposit.invoice.gross and how.open > 0
    assert numbers_with_gaps() == sums_that_are_not_their_lines() == balances_that_cannot_be() == []


def test_filling_again_changes_nothing_and_tells_nothing(demo, capsys):
    call_command("fill_demo")
    assert capsys.readouterr().out == ""
    assert (Design.objects.count(), Plan.objects.count(), Member.objects.count()) == (3, 2, 1)


def test_every_design_of_the_demo_can_be_reckoned(demo, client):
    client.force_login(Member.objects.get())
    for design in Design.objects.all():
        answer = client.get(reverse("plans:reckoning", args=[design.pk]))
        assert answer.status_code == 200 and answer.context["view"].figures["price"]


def test_the_demo_says_what_it_is_and_how_to_start_ones_own(demo, client):
    client.force_login(Member.objects.get())
    body = client.get("/").content.decode()
    assert "everything in it is invented" in body and "Start my shop" in body
    assert "manage.py up --shop" in client.get(reverse("home:own_shop")).content.decode()


def test_one_fair_is_over_and_says_what_it_paid_and_one_is_packed_for(demo):
    coming, over = Fair.objects.all()
    assert (str(over), str(coming)) == ("Quay day", "Lantern market")
    view = fair_view(over, the_workshop())
    assert [str(one.sale.price) for one in view.sold] == ["96.0000", "88.0000"] and view.costs == Decimal("41.50")
    assert sum(one.of_costs + one.of_hours for one in view.sold) == view.costs + view.hours
    assert [str(one.price) for one in offered(coming)] == ["98.0000"] * 2 and not there(over).exists()


def test_visitors_see_two_boards_with_photos_and_somebody_asked_about_one(demo):
    body = Client().get(reverse("shop:shop")).content.decode()
    for listing in Listing.objects.filter(public=True):
        assert listing.title in body and listing.piece.photos.get(chosen=True).sizes.exists()
        answer = Client().get(reverse("shop:piece", args=[listing.piece.number]))
        assert answer.status_code == 200 and "the shop’s page" not in answer.content.decode()
    assert Listing.objects.filter(public=True).count() == 2
    assert Enquiry.objects.get().state == "new" and listings_told_wrongly() == []


def test_five_pieces_are_where_their_stories_say_and_two_wait_for_a_word(demo):
    found = Piece.objects.filter(job__label__in=("Kingfisher", "Little lantern", "Lantern by the door"))
    assert [one.where for one in found.order_by("number")] == ["sold", "shop", "here", "given", "sold"]
    assert all(facts(one).woods and one.costs.exists() for one in found) and told_wrongly() == []
    waits = [one.words for one in what_waits(timezone.localdate())]
    assert len(waits) == 2 and "arrived damaged" in waits[0] and "to be back from Harbour Rooms" in waits[1]
