"""Several at the same bench in the same moment: boards are taken once, a rough length is ticked once, an offcut comes
back once, and a board goes to one of two jobs that keep a plan with it."""

from __future__ import annotations

import pytest

from shopapp.jobs.models import Job
from shopapp.lumber.models import StockEntry, StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.plans.cutting.actions import ask_for_plan
from shopapp.plans.cutting.doing import actions
from shopapp.plans.cutting.doing.checks import cuts_and_rack_that_disagree
from shopapp.plans.cutting.doing.planning import boards_of, laid_out
from shopapp.plans.models import CutEntry, CutSheet
from tests.support.at_once import at_once
from tests.support.sawing import a_job, a_rack, cutting_of, kept_job

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]
HOW_MANY = 4

BEGIN = """
import sys
from planner.errors import PlannerError
from shopapp.jobs.models import Job
from shopapp.lumber.models import StockPiece
from shopapp.plans.cutting.doing import actions
from shopapp.plans.models import CutSheet
from tests.support.sawing import cutting_of, keep
"""

START = (
    BEGIN
    + """
try:
    actions.start(who=None, cutting=cutting_of(Job.objects.get()), sheet=CutSheet.objects.get())
    print("took")
except PlannerError as error:
    print(type(error).__name__)
"""
)

TICK = (
    BEGIN
    + """
sheet = CutSheet.objects.get()
ticked = 0
for one in sheet.pieces:
    try:
        ticked += len(actions.report(
            who=None, cutting=cutting_of(Job.objects.get()), sheet=sheet, board=one["mark"], rough=None))
    except PlannerError:
        pass
print(ticked)
"""
)

BACK = (
    BEGIN
    + """
from shopapp.plans.cutting.doing.actions import Back
from shopapp.plans.cutting.doing.balance import waiting_of
from shopapp.plans.cutting.doing.planning import laid_out
from shopapp.plans.cutting.doing.standing import standing_of
sheet, came = CutSheet.objects.get(), 0
for board in laid_out(sheet.form).boards:
    piece = StockPiece.objects.get(mark=board.mark)
    waiting = waiting_of(board, standing_of(sheet))
    try:
        actions.bring_back(
            who=None, cutting=cutting_of(Job.objects.get()), sheet=sheet, board=board.mark,
            back=[Back(one, None) for one in waiting], seen_version=piece.edit_version)
        came += len(waiting)
    except PlannerError:
        pass
print(came)
"""
)

KEEP = (
    BEGIN
    + """
from shopapp.plans.cutting.actions import keep_plan_of
from shopapp.plans.models import CutSearch
from shopapp.people.models import Member
job = Job.objects.order_by("pk")[int(sys.argv[1]) % 2]
search = CutSearch.objects.filter(key=job.key).first()
try:
    keep_plan_of(who=Member.objects.get(), cutting=cutting_of(job), search=search)
    print("kept", job.pk)
except PlannerError as error:
    print("refused", job.pk)
"""
)


def books_agree() -> bool:
    return pieces_that_are_not_their_moves() == worth_that_came_or_went_unseen() == cuts_and_rack_that_disagree() == []


def test_a_plan_that_everybody_starts_at_once_is_started_once(owner):
    _, sheet = kept_job(owner)
    said = at_once(START)
    assert sorted(said) == ["DoneMeanwhile"] * (HOW_MANY - 1) + ["took"]
    assert StockEntry.objects.filter(kind="taken").count() == CutEntry.objects.count() == 1
    assert StockPiece.objects.filter(state="taken").count() == len(boards_of(sheet.form))
    assert books_agree()


def test_what_everybody_ticks_at_once_is_ticked_once(owner):
    cutting, sheet = kept_job(owner)
    actions.start(who=owner, cutting=cutting, sheet=sheet)
    ticks = sum(len(board.ticks) for board in laid_out(sheet.form).boards)
    assert sum(map(int, at_once(TICK))) == ticks == CutEntry.objects.filter(kind="cut").count()
    planned = sum(len(board.offcuts) for board in laid_out(sheet.form).boards)
    assert sum(map(int, at_once(BACK))) == planned
    assert books_agree()


def test_of_two_jobs_that_keep_plans_with_the_same_boards_one_has_them_all(owner):
    a_rack(owner, each=1)
    first = a_job(owner)
    second = a_job(owner, label="Flag again", plan=first.plan)
    for job in (first, second):
        ask_for_plan(who=owner, cutting=cutting_of(job), wishes={})
    said = at_once(KEEP)
    kept = {line for line in said if line.startswith("kept")}
    assert len(kept) == 1
    (sheet,) = {one.key: one for one in CutSheet.objects.all()}.values()
    pieces = StockPiece.objects.filter(demand__key=sheet.key, state="here")
    assert {piece.mark for piece in pieces} == set(boards_of(sheet.form))
    assert not StockPiece.objects.exclude(demand__key=sheet.key).exclude(demand=None).exists()
    assert Job.objects.count() == 2 and books_agree()
