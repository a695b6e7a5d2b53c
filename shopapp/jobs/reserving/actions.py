"""Free boards reserved for a job that has just begun, and in a sentence what is still to be bought."""

from __future__ import annotations

from fractions import Fraction

from shopapp.jobs.models import Job
from shopapp.jobs.needs import needs_of
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.readers import feet_of
from shopapp.lumber.stock import promises
from shopapp.people.models import Member
from shopapp.plans.cutting.pieces import as_seen, free_for
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from . import planning


def reserve_what_serves(who: Member | None, job: Job, *, deposit: bool) -> str:
    """Reserve free boards of every wood the job's plan needs, which the rack's own entry tells, and say what is still
    missing; empty where nothing is. To be called in the transaction that begins the job. ``deposit``: whether wood is
    bought only once one is in."""
    record, needs = job.plan.record, needs_of(job.plan)
    free = free_for(needs, job.key).pieces
    mine = [piece for piece in free if piece.demand_id is not None]
    left = {wood: max(Fraction(0), need - _held(mine, wood)) for wood, need in needs.items()}
    seen = [as_seen(piece) for piece in free if piece.demand_id is None]
    workshop = the_workshop()
    chosen = planning.choose(record, workshop, {wood: need for wood, need in left.items() if need}, seen)
    pieces = _still_free([pk for some in chosen.values() for pk in some])
    if pieces:
        demand = promises.want_wood(label=job.label, key=job.key)
        promises.reserve(who=who, demand=demand, pieces=pieces)
    missing = {wood: short for wood, need in left.items() if (short := need - _held(pieces, wood)) > 0}
    return _missing_said(missing, deposit, workshop)


def _still_free(numbers: list[int]) -> list[StockPiece]:
    """Held from now on; what somebody took at this very moment is missing, and no reason to accept nothing."""
    rows = StockPiece.objects.select_for_update(of=("self",))
    free = rows.filter(pk__in=numbers, state=StockPiece.State.HERE, demand=None, set_aside="")
    return list(free.order_by("pk"))


def _held(pieces: list[StockPiece], wood: str) -> Fraction:
    return sum((feet_of(piece) for piece in pieces if piece.wood == wood), Fraction(0))


def _missing_said(missing: dict[str, Fraction], deposit: bool, shop: Workshop) -> str:
    if not missing:
        return ""
    seen = woods_seen()
    listed = ", ".join(f"{shop.counts_wood.told(feet)} of {seen[wood].name}" for wood, feet in missing.items())
    when = "; it is bought after the deposit is in" if deposit else ""
    return f"Not on the rack: {listed}. It stands on the list to buy{when}."
