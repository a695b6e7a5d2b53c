"""A kept cut plan reserves its boards; starting takes them, all or none; a newer plan frees what only the older had."""

from __future__ import annotations

import pytest
from django.urls import reverse

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.jobs.actions import move_job
from shopapp.jobs.models import Job
from shopapp.jobs.readers import jobs_told_wrongly
from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock import promises
from shopapp.lumber.stock.actions import Size, measure_piece, scrap_piece, set_piece_aside
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.plans.cutting.actions import RackMoved, ask_for_plan
from shopapp.plans.cutting.doing import actions
from shopapp.plans.cutting.doing.checks import cuts_and_rack_that_disagree
from shopapp.plans.cutting.doing.planning import boards_of
from shopapp.plans.cutting.doing.readers import doing_of
from shopapp.plans.cutting.doors import cutting_of as cutting_of_plan
from shopapp.plans.models import CutEntry, CutSheet
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.rack import boards
from tests.support.sawing import a_job, a_rack, cutting_of, keep, kept_job

mm = Length.of_mm


@pytest.fixture(autouse=True)
def the_books_agree(db):
    yield
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    assert cuts_and_rack_that_disagree() == [] and jobs_told_wrongly() == []


def promised_to(key: str) -> set[str]:
    return set(StockPiece.objects.filter(state="here", demand__key=key).values_list("mark", flat=True))


def out_for(key: str) -> set[str]:
    return set(StockPiece.objects.filter(state="taken", demand__key=key).values_list("mark", flat=True))


def board(sheet: CutSheet, n: int = 0) -> StockPiece:
    return StockPiece.objects.select_related("demand", "lot").get(mark=boards_of(sheet.form)[n])


# --- keeping reserves ---------------------------------------------------------------------------------------------


def test_keeping_a_plan_promises_its_boards_and_no_other(owner):
    cutting, sheet = kept_job(owner)
    assert promised_to(cutting.key) == set(boards_of(sheet.form))
    assert StockPiece.objects.filter(demand=None).exists()


def test_a_newer_plan_frees_what_only_the_older_had_and_leaves_what_was_promised_by_hand(owner):
    cutting, sheet = kept_job(owner)
    by_hand = StockPiece.objects.filter(demand=None, wood="padauk").first()
    work.give(owner, Job.objects.get(), "reserve", by_hand)
    old = board(sheet)
    newer = keep(owner, cutting, leave_out=[old.mark, by_hand.mark])
    assert old.mark not in boards_of(newer.form)
    assert promised_to(cutting.key) == {*boards_of(newer.form), by_hand.mark}
    old.refresh_from_db()
    assert old.demand is None


def test_nothing_is_kept_where_one_board_was_promised_to_another_meanwhile(owner):
    a_rack(owner)
    cutting = cutting_of(a_job(owner))
    search = ask_for_plan(who=owner, cutting=cutting, wishes={})
    from shopapp.plans.cutting.actions import keep_plan_of
    from shopapp.plans.cutting.planning import boards_used

    lost = StockPiece.objects.get(mark=boards_used(search.best)[0])
    other = work.job(owner, label="Other")
    work.give(owner, other, "reserve", lost)
    with pytest.raises(RackMoved) as refused:
        keep_plan_of(who=owner, cutting=cutting, search=search)
    assert refused.value.marks == {lost.mark: f"{lost.mark} was promised to Other meanwhile."}
    assert not CutSheet.objects.exists() and promised_to(cutting.key) == set()


# --- starting takes -----------------------------------------------------------------------------------------------


def test_starting_takes_every_board_in_one_entry_of_the_rack(owner):
    cutting, sheet = kept_job(owner)
    entry = actions.start(who=owner, cutting=cutting, sheet=sheet)
    assert out_for(cutting.key) == set(boards_of(sheet.form)) and promised_to(cutting.key) == set()
    assert StockEntry.objects.filter(kind="taken").get() == entry.stock_entry
    with pytest.raises(actions.DoneMeanwhile, match="out already"):
        actions.start(who=owner, cutting=cutting, sheet=sheet)


@pytest.mark.parametrize("what", ["another's", "aside", "scrapped", "measured"])
def test_a_start_that_lacks_one_board_takes_none_and_says_which_and_why(owner, what):
    cutting, sheet = kept_job(owner)
    piece = board(sheet)
    if what == "another's":
        other = work.job(owner, label="Lantern")
        promises.release(who=owner, pieces=[piece])
        work.give(owner, other, "reserve", piece)
        words = f"{piece.mark} was promised to Lantern meanwhile."
    elif what == "aside":
        set_piece_aside(who=owner, piece=piece, reason="shakes")
        words = f"{piece.mark} was set aside meanwhile: shakes."
    elif what == "scrapped":
        scrap_piece(who=owner, piece=piece, reason="worm")
        words = f"{piece.mark} is not on the rack any more: scrapped."
    else:
        measure_piece(who=owner, piece=piece, size=Size(piece.thickness, piece.width, mm(1150)))
        words = f"{piece.mark} was 32 mm by 150 mm by 1200 mm and is 32 mm by 150 mm by 1150 mm now."
    with pytest.raises(RackMoved) as refused:
        actions.start(who=owner, cutting=cutting, sheet=sheet)
    assert refused.value.marks == {piece.mark: words}
    assert out_for(cutting.key) == set() and not CutEntry.objects.exists()
    assert doing_of(cutting, the_workshop()).changed == {piece.mark: words}


def test_after_the_rack_changed_a_new_plan_is_asked_for_with_one_press(owner, owner_client):
    cutting, sheet = kept_job(owner)
    piece = board(sheet)
    scrap_piece(who=owner, piece=piece, reason="worm")
    page = owner_client.get(cutting.to("cut_doing"))
    words = page.content.decode()
    assert f"{piece.mark} is not on the rack any more: scrapped." in words and "Ask for a new plan" in words
    assert "from the rack</button>" not in words
    answer = owner_client.post(cutting.to("cut_doing"), {"do": "ask", "sheet": sheet.pk, "form_key": "k" * 24})
    assert answer.url == cutting.here
    from shopapp.plans.cutting.actions import keep_plan_of
    from shopapp.plans.models import CutSearch

    newer = keep_plan_of(who=owner, cutting=cutting, search=CutSearch.objects.first())
    assert piece.mark not in boards_of(newer.form)
    actions.start(who=owner, cutting=cutting, sheet=newer)


def test_boards_still_to_be_bought_are_promised_to_nobody_and_keep_it_from_starting(owner, owner_client):
    a_rack(owner, woods=("sycamore", "walnut-black", "birch-yellow"))
    cutting = cutting_of(a_job(owner))
    imagined = {"wood": "padauk", "thickness": "32", "width": "150", "length": "900", "price": "30"}
    sheet = keep(owner, cutting, bought=[imagined])
    assert "to buy 1" in boards_of(sheet.form)
    assert promised_to(cutting.key) == set(boards_of(sheet.form)) - {"to buy 1"}
    with pytest.raises(RackMoved) as refused:
        actions.start(who=owner, cutting=cutting, sheet=sheet)
    assert list(refused.value.marks) == ["to buy 1"] and out_for(cutting.key) == set()
    words = owner_client.get(cutting.to("cut_doing")).content.decode()
    assert "“to buy 1” is not on the rack." in words and "Ask for a new plan" in words
    # The list of what to buy counts it still, with the boards that are promised to it.
    (line,) = owner_client.get(reverse("jobs:buying")).context["found"].lines
    assert line.wood.wood == "padauk"
    boards(owner, 1, wood="padauk", thickness=mm(32), length=mm(900))
    actions.start(who=owner, cutting=cutting, sheet=keep(owner, cutting))


def test_a_sheet_that_was_replaced_is_not_started(owner):
    cutting, sheet = kept_job(owner)
    keep(owner, cutting, leave_out=[board(sheet).mark])
    with pytest.raises(actions.DoneMeanwhile, match="Another cut plan was kept"):
        actions.start(who=owner, cutting=cutting, sheet=sheet)


def test_a_job_that_was_called_off_is_not_started(owner):
    cutting, sheet = kept_job(owner)
    job = Job.objects.get()
    move_job(who=owner, job=job, state="called off", seen_version=job.edit_version)
    with pytest.raises(PlannerError, match="called off"):
        actions.start(who=owner, cutting=cutting, sheet=sheet)
    assert promised_to(cutting.key) == set() == out_for(cutting.key)


def test_a_half_cut_plan_is_not_replaced_and_one_cut_to_its_end_is(owner):
    cutting, sheet = kept_job(owner)
    actions.start(who=owner, cutting=cutting, sheet=sheet)
    first, *others = boards_of(sheet.form)
    actions.report(who=owner, cutting=cutting, sheet=sheet, board=first, rough=None)
    with pytest.raises(PlannerError, match="1 of 4 rough lengths are done"):
        keep(owner, cutting)
    assert CutSheet.objects.get() == sheet
    for mark in others:
        actions.report(who=owner, cutting=cutting, sheet=sheet, board=mark, rough=None)
    newer = keep(owner, cutting)
    assert not set(boards_of(newer.form)) & set(boards_of(sheet.form))


def test_a_start_is_undone_and_the_boards_are_promised_again(owner):
    cutting, sheet = kept_job(owner)
    entry = actions.start(who=owner, cutting=cutting, sheet=sheet)
    actions.undo(who=owner, cutting=cutting, sheet=sheet, entry=entry)
    assert promised_to(cutting.key) == set(boards_of(sheet.form)) and out_for(cutting.key) == set()
    with pytest.raises(actions.DoneMeanwhile, match="undone already"):
        actions.undo(who=owner, cutting=cutting, sheet=sheet, entry=entry)
    actions.start(who=owner, cutting=cutting, sheet=sheet)
    actions.report(who=owner, cutting=cutting, sheet=sheet, board=boards_of(sheet.form)[0], rough=None)
    with pytest.raises(PlannerError, match="cut already"):
        actions.undo(who=owner, cutting=cutting, sheet=sheet, entry=CutEntry.objects.filter(kind="started").first())


# --- of a plan without a job ----------------------------------------------------------------------------------------


def test_a_job_made_of_a_plan_takes_its_cut_plan_and_boards_over(owner):
    a_rack(owner)
    plan = work.kept(owner)
    bare = cutting_of_plan(plan)
    sheet = keep(owner, bare)
    assert promised_to(bare.key) == set(boards_of(sheet.form))
    cutting = cutting_of(a_job(owner, plan=plan))
    assert promised_to(bare.key) == set() and promised_to(cutting.key) == set(boards_of(sheet.form))
    mine = CutSheet.objects.get(key=cutting.key)
    assert mine.form == sheet.form and mine.matches_its_hash and mine.label == "Flag"
    assert "its boards are Flag’s now" in Job.objects.get().events.first().words
    actions.start(who=owner, cutting=cutting, sheet=mine)
    # A second job of the same plan finds nothing to take over, and says nothing of it.
    second = work.job(owner, plan, label="Flag again")
    assert not CutSheet.objects.filter(key=second.key).exists() and second.events.count() == 1


def test_a_job_says_why_a_cut_plan_stays_with_its_plan(owner):
    a_rack(owner)
    plan = work.kept(owner)
    bare = cutting_of_plan(plan)
    sheet = keep(owner, bare)
    piece = board(sheet)
    scrap_piece(who=owner, piece=piece, reason="worm")
    job = work.job(owner, plan)
    assert f"stays with the plan: {piece.mark} is not on the rack" in job.events.first().words
    assert promised_to(bare.key) == set(boards_of(sheet.form)) - {piece.mark}


def test_a_cut_plan_that_was_begun_stays_with_its_plan(owner):
    a_rack(owner)
    plan = work.kept(owner)
    bare = cutting_of_plan(plan)
    sheet = keep(owner, bare)
    actions.start(who=owner, cutting=bare, sheet=sheet)
    job = work.job(owner, plan)
    assert "was begun before" in job.events.first().words and out_for(bare.key) == set(boards_of(sheet.form))
