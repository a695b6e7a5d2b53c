"""Cuts are ticked at the bench and taken back; offcuts come back as measured, each planned one once."""

from __future__ import annotations

import json
import re
import secrets
from collections import Counter
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from planner.cutting.plan import from_json
from planner.errors import PlannerError
from planner.measures import Length
from shopapp.jobs.models import Job
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size, undo_entry
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.lumber.stock.promises import bring_back, take, want_wood
from shopapp.people.models import Member
from shopapp.plans.cutting.doing import actions
from shopapp.plans.cutting.doing.actions import Back
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.sheets.planning import boards, part_totals
from shopapp.plans.models import CutEntry
from tests.support import work
from tests.support.cutting import plan_and_rack
from tests.support.sawing import a_job, as_planned, back, begun_job, board_now, cut, cutting_of, keep, kept_job, now

pytestmark = pytest.mark.django_db

mm = Length.of_mm


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def begun(owner):
    return begun_job(owner)


# --- ticks ------------------------------------------------------------------------------------------------------


def test_nothing_is_ticked_before_its_board_is_out(owner):
    cutting, sheet = kept_job(owner)
    mark = laid_out(sheet.form).boards[0].mark
    with pytest.raises(StockMoved, match=f"{mark} is not out for Flag"):
        actions.report(who=owner, cutting=cutting, sheet=sheet, board=mark, rough=1)
    assert not CutEntry.objects.exists()


def test_progress_counts_boards_rough_lengths_and_pieces_of_those_wanted(owner, begun, begun_marks):
    before = now(begun[0])
    wanted = sum(part["count"] for part in json.loads(begun[1].form)["parts"])
    assert (before.boards_done, before.made, before.wanted) == (0, 0, wanted)
    cut(owner, begun, begun_marks[0])
    after = now(begun[0])
    strips = [
        strip
        for one in json.loads(begun[1].form)["plan"]["boards"]
        if one["board"] == begun_marks[0]
        for rough in one["rough"]
        for strip in rough["strips"]
    ]
    assert after.boards_done == 1 and after.made == sum(n for strip in strips for _, n in strip["parts"])
    for mark in begun_marks[1:]:
        cut(owner, begun, mark)
    assert now(begun[0]).is_done and now(begun[0]).made == wanted


def test_a_tick_is_given_once_taken_back_by_another_entry_and_given_again(owner, begun, begun_marks):
    mark = begun_marks[0]
    (entry,) = cut(owner, begun, mark, 1)
    assert entry.words.startswith(f"{mark}-1 was cut: ") and entry.who == owner
    with pytest.raises(actions.DoneMeanwhile, match=f"{mark}-1 was ticked already by mara"):
        cut(owner, begun, mark, 1)
    actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=entry)
    assert now(begun[0]).cuts_done == 0
    cut(owner, begun, mark, 1)
    assert now(begun[0]).cuts_done == 1
    assert [one.kind for one in CutEntry.objects.order_by("pk")] == ["started", "cut", "undone", "cut"]


@pytest.mark.storage
def test_what_was_done_is_never_changed_or_deleted(owner, begun, begun_marks):
    cut(owner, begun, begun_marks[0])
    for change in (lambda: CutEntry.objects.update(words="x"), lambda: CutEntry.objects.all().delete()):
        with pytest.raises(IntegrityError), transaction.atomic():
            change()


@pytest.mark.parametrize(("board", "rough"), [("X99", 1), ("", None), (None, 99)])
def test_what_is_not_on_the_sheet_is_not_ticked(owner, begun, begun_marks, board, rough):
    with pytest.raises(PlannerError):
        cut(owner, begun, begun_marks[0] if board is None else board, rough)
    assert CutEntry.objects.count() == 1


def test_strips_are_told_as_the_saw_is_set_for_them(begun):
    """Ripped wider than their parts are after gauging by the shop's allowance; pieces are counted as gauged."""
    told = json.loads(begun[1].form)
    step, over = Fraction(re.fullmatch(r"(\S+) mm", told["unit"])[1]), told["rules"]["over_width"]
    assert over > 0
    board, plain = laid_out(begun[1].form).boards[0], told["plan"]["boards"][0]["rough"][0]["strips"]
    assert [strip.width.mm for strip in board.ticks[0].strips] == [(strip["width"] + over) * step for strip in plain]
    sizes = {(one.width.mm / step, one.length.mm / step) for one in laid_out(begun[1].form).parts}
    assert sizes == {(part["width"], part["length"]) for part in told["parts"]}


# --- offcuts ----------------------------------------------------------------------------------------------------


def test_borders_cut_next_to_one_another_are_told_and_counted_as_the_two_pieces_they_become(owner, owner_client):
    plan = plan_and_rack(owner)
    cutting = cutting_of(a_job(owner, plan=plan))
    sheet = keep(owner, cutting, pair_borders=True)
    laid, file = laid_out(sheet.form), from_json(sheet.form)
    totals = part_totals(file, {})
    assert any(one.pieces for one in totals)
    assert sum(part.count for part in laid.parts) == sum(one.count for one in totals)
    cut = [one for board in laid.boards for rough in board.rough for strip in rough.strips for one in strip.parts]
    assert sum(len(lengths) * count for lengths, count in cut) >= sum(one.count for one in totals)
    assert {lengths for lengths, _ in cut if len(lengths) > 1} == {one.pieces for one in totals if one.pieces}
    lines = [line for board in boards(file, {}, "mm") for layer in board.layers for line in layer.strips]
    called = {(len(part.pieces) > 1, part.name) for line in lines for part in line.parts}
    assert {name for both, name in called if both} == {"left and right side border of a row"}
    assert not any("left and right" in name for both, name in called if not both)
    told = owner_client.get(cutting.to("cut_doing")).text
    assert f"0 of {sum(one.count for one in totals)} pieces" in told


def test_planned_offcuts_stand_ready_once_their_rough_length_is_ticked(owner, owner_client, begun, begun_marks):
    mark = begun_marks[1]
    assert board_now(begun[0], mark).waiting == []
    cut(owner, begun, mark)
    waiting = board_now(begun[0], mark).waiting
    planned = [one for one in json.loads(begun[1].form)["plan"]["offcuts"] if one["board"] == mark]
    assert Counter(one.kind for one in waiting) == Counter(one["kind"] for one in planned) and planned
    form = owner_client.get(begun[0].to("cut_back", mark)).context["form"]
    edge = next(one for one in waiting if one.kind == "edge")
    # Beside the strips it is as thick as it was milled; an end that was kept whole is as wide and thick as its board.
    assert form[f"thickness_{edge.ref}"].initial == mm(21) and form[f"length_{edge.ref}"].initial == edge.length
    end = next(one for one in waiting if one.kind == "end")
    assert form[f"thickness_{end.ref}"].initial == mm(32) and form[f"width_{end.ref}"].initial == mm(150)


def test_confirmed_measured_anew_and_thrown_away(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    edge, end = as_planned(begun, mark)
    shorter = Size(edge.size.thickness, edge.size.width, mm(300), surfaced=True)
    entry, made = back(owner, begun, mark, Back(edge.planned, shorter), Back(end.planned, None))
    assert [(piece.mark, piece.length, piece.surfaced) for piece in made] == [(f"{mark}a", mm(300), True)]
    assert made[0].parent.mark == mark and made[0].state == "here" and made[0].demand is None
    assert entry.words == f"{mark}a came back of {mark}. 1 offcut of {mark} was thrown away."
    assert board_now(begun[0], mark).waiting == []
    with pytest.raises(actions.DoneMeanwhile, match="settled already"):
        back(owner, begun, mark, Back(end.planned, end.size))


def test_what_came_back_is_worth_its_share_by_volume(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    worth = Decimal(next(one["worth"] for one in begun[1].pieces if one["mark"] == mark))
    _, end = as_planned(begun, mark)
    _, (piece,) = back(owner, begun, mark, end)
    share = Fraction(worth) * (32 * end.size.width.mm * end.size.length.mm) / (32 * 150 * 1200)
    assert abs(Fraction(piece.worth) - share) <= Fraction(1, 200)


def test_a_coming_back_is_undone_here_and_its_offcuts_wait_again(owner, begun, begun_marks):
    mark = begun_marks[1]
    (ticked,) = cut(owner, begun, mark)
    entry, (piece, _) = back(owner, begun, mark, *as_planned(begun, mark))
    with pytest.raises(PlannerError, match="came back from that cut"):
        actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=ticked)
    actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=entry)
    piece.refresh_from_db()
    assert piece.state == "undone" and len(board_now(begun[0], mark).waiting) == 2


def test_a_coming_back_undone_on_the_rack_s_own_page_is_undone_at_the_bench_too(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    entry, _ = back(owner, begun, mark, *as_planned(begun, mark))
    undo_entry(who=owner, entry=entry.stock_entry)
    assert len(board_now(begun[0], mark).waiting) == 2


def test_more_than_the_parts_leave_does_not_come_back(owner, begun, begun_marks):
    mark = begun_marks[0]
    cut(owner, begun, mark)
    with pytest.raises(PlannerError, match="With the parts cut of it"):
        back(owner, begun, mark, Back(None, Size(mm(32), mm(150), mm(1190))))
    assert not StockPiece.objects.filter(parent__mark=mark).exists()


def test_an_offcut_of_what_is_not_ticked_does_not_come_back(owner, begun, begun_marks):
    board = laid_out(begun[1].form).boards[0]
    one = board.offcuts[0]
    with pytest.raises(PlannerError, match="not ticked as cut yet"):
        back(owner, begun, board.mark, Back(one, Size(mm(21), one.width, one.length)))


def test_who_opened_the_page_before_another_brought_offcuts_back_is_told(owner, begun, begun_marks):
    mark = begun_marks[1]
    cut(owner, begun, mark)
    seen = StockPiece.objects.get(mark=mark).edit_version
    edge, end = as_planned(begun, mark)
    back(owner, begun, mark, edge)
    with pytest.raises(StockMoved, match="changed meanwhile"):
        back(owner, begun, mark, end, seen_version=seen)


def test_a_board_that_was_cut_does_not_come_back_whole_on_the_page_of_the_job_s_wood(
    owner, owner_client, begun, begun_marks
):
    mark, other = begun_marks[:2]
    (entry,) = cut(owner, begun, mark)
    job = Job.objects.get()

    def whole(board):
        version = StockPiece.objects.get(mark=board).edit_version
        typed = {"do": "whole", "edit_version": version, "form_key": secrets.token_urlsafe(24)}
        return owner_client.post(reverse("jobs:back", args=[job.pk, board]), typed)

    refused = whole(mark)
    assert refused.status_code == 422 and f"{mark} is not whole any more" in refused.content.decode()
    assert whole(other).status_code == 302 and StockPiece.objects.get(mark=other).state == "here"
    # What came back whole is not out: it is taken again before it is cut.
    with pytest.raises(StockMoved):
        cut(owner, begun, other)
    assert [one.board.mark for one in now(begun[0]).to_take] == [other]
    actions.start(who=owner, cutting=begun[0], sheet=begun[1])
    cut(owner, begun, other)
    actions.undo(who=owner, cutting=begun[0], sheet=begun[1], entry=entry)
    assert whole(mark).status_code == 302


def test_an_offcut_another_job_takes_and_cuts_in_its_turn_came_back_once(owner, owner_client, begun, begun_marks):
    """The balance of the first job is what it was before, and its page opens."""
    cutting, mark = begun[0], begun_marks[0]
    cut(owner, begun, mark)
    back(owner, begun, mark, *as_planned(begun, mark))
    before = now(cutting).total
    offcut = StockPiece.objects.filter(parent__mark=mark).latest("pk")
    take(who=owner, demand=want_wood(label="Another", key="another"), pieces=[offcut])
    offcut.refresh_from_db()
    bring_back(who=owner, piece=offcut, offcuts=[Size(offcut.thickness, offcut.width, offcut.length / 2)])
    assert now(cutting).total == before
    assert owner_client.get(cutting.to("cut_doing")).status_code == 200


def test_nothing_is_ticked_of_a_job_that_was_called_off_and_its_page_has_no_such_button(
    owner, owner_client, begun, begun_marks
):
    cutting, mark = begun[0], begun_marks[0]
    first, *others = board_now(cutting, mark).rough
    actions.report(who=owner, cutting=cutting, sheet=begun[1], board=mark, rough=first.rough.number)
    assert f'value="cut:{mark}:' in owner_client.get(cutting.to("cut_doing")).content.decode() or not others
    work.move(owner, Job.objects.get(), "called off")
    body = owner_client.get(cutting.to("cut_doing")).content.decode()
    assert 'value="cut:' not in body and 'value="start"' not in body and "Flag was called off" in body
    # A page that was open before is told; a tick that was a slip can still be taken back.
    for do in (f"cut:{mark}:1", f"cut:{begun_marks[1]}:0"):
        typed = {"do": do, "sheet": begun[1].pk, "form_key": secrets.token_urlsafe(24)}
        answer = owner_client.post(cutting.to("cut_doing"), typed)
        assert answer.status_code == 422 and "Nothing more is ticked" in answer.content.decode()
    assert CutEntry.objects.filter(kind="cut").count() == 1
    assert f'value="undo:{CutEntry.objects.get(kind="cut").pk}"' in body
