"""What jobs were planned to take stands beside what they took, like held against like."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.utils import timezone

from planner.measures import Length, board_feet, volume_mm3
from shopapp.books.entries import ledger
from shopapp.books.estimates import estimates
from shopapp.books.period import Period
from shopapp.books.rack.moves import rack_moves
from shopapp.common.woodmeasure import BOARD_FEET
from shopapp.jobs.needs import needs_of
from shopapp.jobs.timing import timed_of
from shopapp.listings.pieces.actions import number_pieces
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import Size
from shopapp.lumber.stock.promises import bring_back
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.log import write
from tests.support.rack import boards

mm = Length.of_mm


def made(owner, label: str, plan, minutes: int = 0, take: StockPiece | None = None):
    job = work.move(owner, work.job(owner, plan, label=label, kind="sale"), "under way")
    if take:
        work.give(owner, job, "take", take)
        bring_back(who=owner, piece=StockPiece.objects.get(pk=take.pk), offcuts=[Size(mm(27), mm(150), mm(500))])
    if minutes:
        write(owner, timed_of(job), "crosscut", minutes)
    number_pieces(who=owner, job=work.move(owner, job, "finished"))
    return job


def test_wood_hours_and_cost_of_a_job_and_sums_of_those_that_have_both(owner):
    Workshop.objects.update_or_create(pk=1, defaults={"hour": Decimal(24), "overhead_hour": Decimal(3)})
    plan = work.kept(owner)
    (board,) = boards(owner, 1, wood="walnut-black")
    written, as_planned = made(owner, "Heron", plan, 100, board), made(owner, "Otter", work.beside(owner, plan))
    year = Period(timezone.localdate().year)
    (table,) = estimates(ledger(the_workshop()), list(rack_moves()), year, BOARD_FEET)
    heron, otter, whole = ([cell.value for cell in row.cells] for row in table.rows)
    used = board_feet(volume_mm3(mm(27), mm(150), mm(1500)))
    assert heron[:4] == ["Heron", 1, sum(needs_of(plan).values()), used]
    hours = next(t for t in plan.record["figures"]["cost_all"]["terms"] if t["name"] == "Labour")["figure"]["terms"]
    planned = Fraction(next(t for t in hours if t["name"] == "Hours")["figure"]["value"][1])
    assert (heron[5], abs(Fraction(heron[4], 60) - planned) <= Fraction(1, 120)) == (100, True)
    costs = {job: sum(cost.amount for piece in job.pieces.all() for cost in piece.costs.all())
             for job in (written, as_planned)}  # fmt: skip
    assert (heron[7], otter[7]) == (costs[written], costs[as_planned])
    # Where nothing was written the cost is the plan's, to the coin; wood and hours are not known.
    assert otter[3] is None and otter[5] is None and otter[6] == otter[7] == otter[9] and otter[8] == 0
    assert whole[2:4] == heron[2:4] and whole[4:6] == heron[4:6]
    assert whole[6] == heron[6] + otter[6] and whole[8] == heron[8]


def test_a_job_without_a_plan_has_nothing_it_is_held_against(owner):
    made(owner, "Frame", None, 0)
    year = Period(timezone.localdate().year)
    (table,) = estimates(ledger(the_workshop()), [], year, BOARD_FEET)
    assert [cell.value for cell in table.rows[-1].cells[2:9]] == [None] * 7
