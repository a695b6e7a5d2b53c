"""On a tablet with gluey fingers: two jobs are cut from one rack, from the cut plan to the last offcut."""

from __future__ import annotations

from decimal import Decimal

from playwright.sync_api import expect

from planner.measures import Length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.plans.cutting.doing.checks import cuts_and_rack_that_disagree
from shopapp.plans.cutting.doing.planning import boards_of, laid_out
from shopapp.plans.cutting.doing.readers import doing_of
from shopapp.plans.models import CutEntry, CutSheet
from shopapp.workshop.readers import the_workshop
from tests.support.browser import axe_findings, sideways
from tests.support.sawing import a_job, a_rack, cutting_of


def keep_a_plan(page, job) -> CutSheet:
    """Asked for, found by the worker, kept."""
    page.goto(job.get_absolute_url())
    page.get_by_role("link", name="Which board gives which strip").first.tap()
    page.get_by_role("button", name="Look for a better plan").tap()
    expect(page.get_by_text("The search waits for its turn.")).to_be_visible()
    run_waiting_tasks()
    expect(page.get_by_role("button", name="Stop here")).to_be_hidden()
    page.get_by_role("button", name="Keep this plan").tap()
    expect(page.get_by_role("status").filter(has_text="kept")).to_be_visible()
    return CutSheet.objects.get(key=job.key)


def bring_back(page, mark: str, *, first: str = "") -> None:
    """The planned offcuts of a board as they stand ready, the first measured anew where a length is given."""
    page.get_by_role("link", name=f"Offcuts of {mark}").tap()
    expect(page.get_by_role("heading", name=f"Offcuts of {mark}")).to_be_visible()
    if first:
        page.get_by_label("Length 1").fill(first)
    assert axe_findings(page) == [] and not sideways(page)
    page.get_by_role("button", name="This is what became of them").tap()
    expect(page.get_by_role("status").filter(has_text=f"came back of {mark}")).to_be_visible()


def tick(page, name: str) -> None:
    page.get_by_role("button", name=f"{name} is cut", exact=True).tap()
    expect(page.get_by_role("button", name=f"{name} is cut; press to take the tick back")).to_be_visible()


def test_two_jobs_from_one_rack_kept_taken_cut_returned_and_balanced(open_page, owner):
    a_rack(owner, each=2, length=Length.of_mm(900))
    first = a_job(owner)
    second = a_job(owner, label="Flag for the boathouse", plan=first.plan)
    page = open_page("/jobs/", "tablet", expect="422")
    sheets = {job: keep_a_plan(page, job) for job in (first, second)}
    marks = {job: boards_of(sheet.form) for job, sheet in sheets.items()}
    assert not set(marks[first]) & set(marks[second])
    for job, sheet in sheets.items():
        page.goto(job.get_absolute_url())
        page.get_by_role("link", name="At the bench").tap()
        page.get_by_role("button", name=f"Take all {len(marks[job])} from the rack").tap()
        expect(page.get_by_text("Blade still, hands clear,")).to_be_visible()
        boxes = page.get_by_role("button", name="is cut", exact=False)
        for n in range(boxes.count()):
            size = boxes.nth(n).bounding_box()
            assert size["width"] >= 44 and size["height"] >= 44
        for board in laid_out(sheet.form).boards:
            for rough in board.ticks:
                tick(page, rough.name)
        expect(page.get_by_text("All of it is cut.")).to_be_visible()
        assert axe_findings(page) == [] and not sideways(page)

    # A slip of the finger is taken back and given again.
    name = laid_out(sheets[second].form).boards[0].ticks[0].name
    page.get_by_role("button", name=f"{name} is cut; press to take the tick back").tap()
    tick(page, name)
    assert CutEntry.objects.filter(kind="undone").count() == 1

    for job, sheet in sheets.items():
        page.goto(cutting_of(job).to("cut_doing"))
        for number, board in enumerate(one for one in laid_out(sheet.form).boards if one.offcuts):
            bring_back(page, board.mark, first="255" if job == second and not number else "")
        expect(page.get_by_text("Nothing waits to go back.")).to_be_visible()
        found = doing_of(cutting_of(job), the_workshop())
        total, money = found.total, found.moved
        assert total.uncut == total.waiting == 0 and total.gone > 0 and found.made == found.wanted
        assert total.out == total.parts + total.back + total.gone
        assert money.worth_out - money.worth_back == money.worth_used > Decimal(0)
        row = page.get_by_role("row", name="Its wood has cost")
        expect(row).to_contain_text(f"{money.worth_used.quantize(Decimal('0.01'))}")
    measured = StockPiece.objects.filter(length=Length.of_mm(255))
    assert measured.count() == 1 and measured.get().state == "here"
    assert pieces_that_are_not_their_moves() == worth_that_came_or_went_unseen() == cuts_and_rack_that_disagree() == []
