"""The cut plan's one door to the planner: a record, the rack and the wishes in, plans as text out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from planner.cutting.fromshop import Piece, Wishes, cut_job, cuts_in, in_words, same_job_hash, says_in, unit_of
from planner.cutting.plan import (
    CutFile,
    CutFormError,
    CutPlan,
    CutPlanError,
    faults_of,
    first_cut_plan,
    from_json,
    plan_cuts,
    prove_floor,
    to_json,
)
from planner.cutting.plan.limits import check_makeable
from planner.cutting.setups import set_ups, to_record
from planner.measures import Length
from shopapp.plans.models import canonical
from shopapp.schedule.log.planning import minutes_used
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

__all__ = ["CutFormError", "CutPlanError", "Found", "NoRoomYet"]

# Steps are not what ends a search here: the maker, the clock or the last thing to try does.
_ALL_STEPS = 10**9


class NoRoomYet(CutPlanError):
    """The plain way leaves pieces uncut; a search may still find room for them."""


@dataclass(frozen=True)
class Found:
    """A plan with the job it belongs to, as text, and what it costs in 1/10000 of the currency; ``floor`` is None
    until every wood has one."""

    text: str
    cost: int
    floor: int | None


def wishes_of(stored: Mapping) -> Wishes:
    """Wishes from their JSON; lengths are millimetres as exact text, prices text."""
    return Wishes(
        ways=dict(stored.get("ways", {})),
        resaw=bool(stored.get("resaw")),
        offcuts_first=bool(stored.get("offcuts_first")),
        pair_borders=bool(stored.get("pair_borders")),
        one_board=tuple(stored.get("one_board", ())),
        shades=dict(stored.get("shades", {})),
        leave_out=tuple(stored.get("leave_out", ())),
        bought=tuple(
            Piece(
                mark="",
                wood=one["wood"],
                thickness=Length.of_mm(one["thickness"]),
                width=Length.of_mm(one["width"]),
                length=Length.of_mm(one["length"]),
                surfaced=bool(one.get("surfaced")),
                worth=Decimal(one["price"]),
            )
            for one in stored.get("bought", ())
        ),
    )


def piece_of(seen: Mapping) -> Piece:
    """A piece of the rack as a search keeps it (``pieces.as_seen``)."""
    return Piece(
        mark=seen["mark"],
        wood=seen["wood"],
        thickness=Length.from_nm(seen["thickness"]),
        width=Length.from_nm(seen["width"]),
        length=Length.from_nm(seen["length"]),
        surfaced=seen["surfaced"],
        worth=Decimal(seen["worth"]),
        shade=seen["shade"],
        offcut=seen["offcut"],
    )


def freeze(record: Mapping, workshop: Workshop, seen: Iterable[Mapping], wishes: Mapping) -> tuple[str, str]:
    """The job as JSON and its hash. Raises CutPlanError in the maker's words for what cannot be made."""
    try:
        file = cut_job(
            record,
            shop_of(workshop),
            [piece_of(one) for one in seen],
            wishes_of(wishes),
            exponent=workshop.currency_exponent,
        )
    except CutPlanError as error:
        raise in_words(error, record) from error
    return to_json(file), same_job_hash(file)


def first_plan(text: str, record: Mapping, workshop: Workshop) -> Found:
    """A plan at once. Raises CutPlanError for what cannot be made at all, NoRoomYet where only the plain way does
    not find room."""
    file = from_json(text)
    says = says_in(unit_of(file.unit), shop_of(workshop))
    try:
        check_makeable(file.job, says)
    except CutPlanError as error:
        raise in_words(error, record) from error
    try:
        return _found(file, first_cut_plan(file.job, says))
    except CutPlanError as error:
        told = in_words(error, record)
        raise NoRoomYet(told.what, mend=told.mend, field=told.field) from error


def search(
    text: str,
    record: Mapping,
    workshop: Workshop,
    keep_going: Callable[[], bool],
    tell: Callable[[Callable[[], Found | None]], None],
) -> Found | None:
    """Look for better plans until ``keep_going`` says no or nothing is left to try. ``tell`` is given, for each better
    plan, what makes a Found of it, or None where it does not hold: proving costs time, so whoever is told decides
    when. Raises CutPlanError as ``first_plan`` does."""
    file = from_json(text)
    says = says_in(unit_of(file.unit), shop_of(workshop))

    def told(plan: CutPlan) -> None:
        tell(lambda: sound(file, plan))

    try:
        return sound(file, plan_cuts(file.job, keep_going, _ALL_STEPS, told, says))
    except CutPlanError as error:
        raise in_words(error, record) from error


def sound(file: CutFile, plan: CutPlan) -> Found | None:
    """The plan, if it passes the checker and every floor is proved anew; else None, for nobody is to see it."""
    whole = replace(file, plan=plan)
    return None if faults_in(whole) else _found(file, plan)


def _found(file: CutFile, plan: CutPlan) -> Found:
    woods = {part.wood for part in file.job.parts if part.count > 0}
    proved = woods <= {one.wood for one in plan.floors}
    return Found(to_json(replace(file, plan=plan)), plan.cost, plan.floor if proved else None)


def faults_in(file: CutFile) -> list[str]:
    """What is wrong with the plan of a file: what the checker finds, and floors that are not proved."""
    if file.plan is None:
        return ["It holds no plan."]
    faults = list(faults_of(file.plan, file.job))
    for one in file.plan.floors:
        try:
            proved = prove_floor(one, file.job)
        except CutPlanError as error:
            faults.append(f"The floor of {one.wood} has no proof: {error}")
            continue
        if proved < one.floor:
            faults.append(f"The floor of {one.wood} is {one.floor}; only {proved} is proved.")
    return faults


def faults_in_text(text: str, cost: int | None, floor: int | None) -> list[str]:
    """The same of a kept text, and whether cost and floor beside it are its own."""
    try:
        file = from_json(text)
    except CutFormError as error:
        return [str(error)]
    faults = faults_in(file)
    if file.plan is not None:
        own = _found(file, file.plan)
        if (own.cost, own.floor) != (cost, floor):
            faults.append(f"It costs {own.cost} with a floor of {own.floor}; {cost} and {floor} stand beside it.")
    return faults


def better(found: Found, than: Found | None) -> Found | None:
    """What of two plans of one job is to be kept: the cheaper, with the higher floor of the two; None where that is
    what stands already."""
    if than is None:
        return found
    higher = max((one.floor for one in (found, than) if one.floor is not None), default=None)
    cheaper = found if found.cost < than.cost else than
    if (cheaper.cost, higher) == (than.cost, than.floor):
        return None
    if cheaper.floor == higher:
        return cheaper
    other = than if cheaper is found else found
    file, floors = from_json(cheaper.text), from_json(other.text).plan.floors
    return _found(file, replace(file.plan, floors=floors))


def boards_used(text: str) -> list[str]:
    """The boards a plan cuts, by their names, in its order."""
    plan = from_json(text).plan
    return [cut.board for cut in plan.boards] if plan is not None else []


def set_ups_text(text: str, record: Mapping, workshop: Workshop, wishes: Mapping) -> str:
    """The saw's set-ups of a plan as JSON, to be kept with it. Raises SetUpError."""
    file, shop = from_json(text), shop_of(workshop)
    spares = tuple(cut.spares for cut in cuts_in(record, shop, wishes_of(wishes)))
    # The maker may have changed how many spares are cut since the job was frozen; then none is told apart.
    counts = [part.count for part in file.job.parts]
    fits = len(spares) == len(counts) and all(map(int.__le__, spares, counts))
    row = Length.of_mm(record["spec"]["pitch"]) * record["columns"]
    made = set_ups(file, shop, minutes_used(workshop), spares=spares if fits else (), row=row)
    return canonical(to_record(made))
