"""What the buying list shows, read from kept plans, open jobs, the rack and past deliveries; nothing is written."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.core.cache import cache
from django.db.models import Q

from planner.errors import PlannerError
from planner.measures import board_feet, volume_mm3
from shopapp.common.fields import plain_number
from shopapp.jobs.models import Job
from shopapp.jobs.spoiled.again import Again, again_of
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.lumber.models import Demand, Lot, StockEntry, StockMove, StockPiece
from shopapp.payments.readers import standings
from shopapp.plans.cutting.doing.balance import size_came
from shopapp.plans.cutting.doing.planning import boards_of
from shopapp.plans.cutting.doing.standing import standings_of
from shopapp.plans.cutting.holding import key_of
from shopapp.plans.cutting.pieces import MOST_OF_A_WOOD, as_seen
from shopapp.plans.models import CutSheet, Plan, canonical
from shopapp.plans.shorts.readers import newest_plans
from shopapp.workshop.models import Workshop

from . import planning

# What one looks through before going to the yard.
MOST_WANTS = 24
MOST_PLANS = 12
MOST_LOTS = 400
MOST_FINISHED = 40
_AN_HOUR = 3600
State, Kind = StockPiece.State, StockEntry.Kind
TO_MAKE = (Job.State.PLANNED, Job.State.UNDER_WAY)


@dataclass(frozen=True)
class Choice:
    """Something that can be ticked: a job in hand, or a kept plan. ``tick`` names it in the address; ``key`` is what
    the rack knows it by, ``sheet`` the cut plan that counts for it. ``has_wood`` where every board of that is there;
    ``deposit_lacks`` where a deposit is asked that is not in; ``again`` is what has to be cut a second time."""

    tick: str
    label: str
    note: str
    key: str
    plan: Plan
    sheet: CutSheet | None
    has_wood: bool
    deposit_lacks: bool = False
    again: Again | None = None

    @property
    def counted_as(self) -> str:
        """What of it wood is looked for."""
        if self.again is None:
            return self.label
        pieces = f"{self.again.pieces} piece{'s' * (self.again.pieces != 1)} to cut again"
        return f"{self.label}: {pieces}" if self.has_wood else f"{self.label} with {pieces}"

    def wants(self, records: Mapping[int, Mapping]) -> list[tuple[str, Mapping]]:
        whole = [] if self.has_wood else [(self.label, records[self.plan.pk])]
        return [*whole, *([(f"{self.label}, cut again", self.again.record)] if self.again else [])]


@dataclass(frozen=True)
class Line:
    """One wood in one thickness to ask for, ``thickness`` as it is said at a yard."""

    wood: WoodSeen
    thickness: str
    buy: object
    figures: Mapping[str, Mapping]
    likely: list[tuple[str, Mapping, Mapping | None]]
    waste: Fraction

    @property
    def about(self) -> str:
        return f"{self.wood.name}, {self.thickness}"

    @property
    def boards(self) -> Mapping:
        """What the boards to ask for first measure."""
        return self.likely[0][1]

    @property
    def spare(self) -> bool:
        """Whether those boards measure more than is used of them."""
        return self.buy.likely[0].amount.value > self.buy.amount.value

    @property
    def ask(self) -> Mapping:
        """What is paid for: whole boards, or more of them where the maker's own yield asks for more."""
        return self.boards if self.spare else self.figures["amount"]

    @property
    def one_price(self) -> bool:
        return self.figures["least"]["value"] == self.figures["most"]["value"]

    @property
    def waste_words(self) -> str:
        return f"“{plain_number(self.waste * 100, 2)} % waste”"

    @property
    def adding_words(self) -> str:
        return f"“Add {plain_number(self.waste * 100, 2)} %”"

    @property
    def pieces(self) -> int:
        return sum(one.count for one in self.buy.missing)


@dataclass(frozen=True)
class Enough:
    wood: WoodSeen
    from_rack: tuple[str, ...]


@dataclass(frozen=True)
class BuyingList:
    """``counted`` is what it is for, ``provided`` what was ticked and has all its wood; ``more`` are woods with more
    free pieces than were looked at. ``trouble`` where no purchase mends it."""

    counted: list[Choice]
    provided: list[Choice]
    lines: list[Line]
    enough: list[Enough]
    more: list[WoodSeen]
    trouble: PlannerError | None

    @property
    def waiting_for_deposit(self) -> list[Choice]:
        return [one for one in self.counted if one.deposit_lacks]

    @property
    def priced(self) -> list[Line]:
        return [line for line in self.lines if line.buy.cost is not None]

    @property
    def unpriced(self) -> int:
        return len(self.lines) - len(self.priced)

    @property
    def in_all(self) -> dict[str, Decimal]:
        """What the priced lines come to at the least, the median and the most that was paid before."""
        return {
            name: sum((getattr(line.buy.cost, name).value for line in self.priced), Decimal(0))
            for name in ("least", "median", "most")
        }


def choices(workshop: Workshop) -> list[Choice]:
    """Jobs to be made that have a plan, what is due first before; then the newest kept plan of each design that none
    of them is made of, and every other plan wood is promised to. Thirteen queries at most."""
    to_make = Job.objects.filter(state__in=TO_MAKE).exclude(plan=None)
    jobs = list(to_make.select_related("plan").defer("plan__inputs", "plan__result")[:MOST_WANTS])
    made = {job.plan_id for job in jobs}
    wanting = Demand.objects.filter(key__startswith="plan ", pieces__state__in=(State.HERE, State.TAKEN))
    numbers = [int(key.removeprefix("plan ")) for key in wanting.values_list("key", flat=True).distinct()]
    plans = {plan.pk: plan for plan in newest_plans() if plan.pk not in made}
    plans |= {plan.pk: plan for plan in Plan.objects.filter(pk__in=set(numbers) - made).defer("inputs", "result")}
    named = [(f"job.{job.pk}", job.label, _job_note(job), job.key, job.plan) for job in jobs]
    named += [
        (f"plan.{pk}", plan.title, "wood is promised to it" if pk in numbers else "kept plan", key_of(plan), plan)
        for pk, plan in sorted(plans.items(), key=lambda one: (one[0] not in numbers, -one[0]))[:MOST_WANTS]
    ]
    sheets = _sheets([key for *_, key, _ in named])
    held = _held(sheets.values())
    lacking = _without_deposit(jobs)
    again = {f"job.{pk}": one for pk, one in again_of(jobs, workshop).items()}
    found = []
    for tick, label, note, key, plan in named:
        sheet = sheets.get(key)
        sheet = sheet if sheet is not None and sheet.plan_id == plan.pk else None
        has_wood = sheet is not None and _has_wood(sheet, held)
        found.append(Choice(tick, label, note, key, plan, sheet, has_wood, key in lacking, again.get(tick)))
    return found


def _without_deposit(jobs: Sequence[Job]) -> set[str]:
    """Keys of the quoted jobs whose deposit is not in. Four queries at most."""
    quoted = {f"quote {job.quote_id}": job.key for job in jobs if job.quote_id is not None}
    how = standings(list(quoted)) if quoted else {}
    return {quoted[key] for key, one in how.items() if not one.stopped and not one.deposit_is_in}


def _job_note(job: Job) -> str:
    due = f", due {job.due.day} {job.due:%b %Y}" if job.due else ""
    return f"job, {job.get_state_display()}{due}"


def _sheets(keys: Sequence[str]) -> dict[str, CutSheet]:
    """The newest sheet of each key. One query."""
    return {sheet.key: sheet for sheet in CutSheet.objects.filter(key__in=keys).order_by("pk")}


def _held(sheets: Iterable[CutSheet]) -> dict[int, str]:
    """Whose each piece of the sheets is, on the rack or out. One query."""
    numbers = {one["pk"] for sheet in sheets for one in sheet.pieces}
    rows = StockPiece.objects.filter(pk__in=numbers, state__in=(State.HERE, State.TAKEN)).exclude(demand=None)
    return dict(rows.values_list("pk", "demand__key"))


def _has_wood(sheet: CutSheet, held: Mapping[int, str]) -> bool:
    there = {one["mark"] for one in sheet.pieces if held.get(one["pk"]) == sheet.key}
    return set(boards_of(sheet.form)) <= there


def list_of(ticked: Sequence[Choice], workshop: Workshop, waste: Fraction) -> BuyingList:
    """Eight queries at most, however much is ticked."""
    counted = [one for one in ticked if not one.has_wood or one.again]
    provided = [one for one in ticked if one.has_wood]
    seen = woods_seen()
    if not counted:
        return BuyingList([], provided, [], [], [], None)
    records = {plan.pk: plan.record for plan in Plan.objects.filter(pk__in={one.plan.pk for one in counted})}
    wants = [want for one in counted for want in one.wants(records)]
    woods = {part["wood"] for _, record in wants for part in record["parts"]}
    # What a cut plan that has all its boards makes of them is spoken for.
    spoken = {one["pk"] for choice in counted if choice.has_wood and choice.sheet for one in choice.sheet.pieces}
    rack, more = _rack(woods, [one.key for one in counted], spoken)
    past, yields = planning.bought(_lots()), _yields()
    try:
        buying = _reckoned(counted, wants, workshop, rack, past, yields, waste)
    except PlannerError as error:
        return BuyingList(counted, provided, [], [], [], error)
    lines = [_line(one, seen, workshop, waste) for one in buying.lines]
    enough = [Enough(seen[one.wood], one.from_rack) for one in buying.enough]
    return BuyingList(counted, provided, lines, enough, [seen[wood] for wood in sorted(more)], None)


def _line(one, seen: Mapping[str, WoodSeen], workshop: Workshop, waste: Fraction) -> Line:
    likely = [
        (planning.words_of(boards, workshop), boards.amount.as_record(), boards.cost and boards.cost.as_record())
        for boards in one.likely
    ]
    return Line(seen[one.wood], planning.thickness(one.nominal, workshop), one, _figures(one), likely, waste)


def _reckoned(counted, wants, workshop, rack, past, yields, waste) -> planning.Buying:
    """From the cache where nothing it follows from has changed."""
    told = canonical(
        {
            "plans": [[one.plan.sha256, one.has_wood, one.again and one.again.record["parts"]] for one in counted],
            "shop": planning.shop_told(workshop),
            "rack": rack,
            "past": [str(one) for one in past],
            "yields": {wood: str(one) for wood, one in yields.items()},
            "waste": str(waste),
        }
    )
    key = "buying:" + hashlib.sha256(told.encode()).hexdigest()
    found = cache.get(key)
    if found is None:
        found = planning.list_of(wants, workshop, rack, past, yields, waste)
        cache.set(key, found, _AN_HOUR)
    return found


def _rack(woods: Iterable[str], keys: Sequence[str], spoken: Set[int]) -> tuple[list[dict], set[str]]:
    """Free pieces and those that are promised to or out whole for the ticked, but for those ``spoken`` for, so many of
    each wood as a maker could lay out; woods of which there are more. One query."""
    mine = Q(demand__key__in=keys)
    found = (
        StockPiece.objects.filter(wood__in=set(woods))
        .exclude(pk__in=spoken)
        .filter(Q(state=State.HERE, set_aside="") & (Q(demand=None) | mine) | Q(state=State.TAKEN, offcuts=None) & mine)
        .select_related("lot")
    )
    by_wood: dict[str, list[StockPiece]] = {}
    for piece in found:
        by_wood.setdefault(piece.wood, []).append(piece)
    pieces, more = [], set()
    for wood, ones in sorted(by_wood.items()):
        ones.sort(key=lambda one: (one.demand_id is None, -(one.width.mm * one.length.mm), one.mark))
        pieces += map(as_seen, ones[:MOST_OF_A_WOOD])
        if len(ones) > MOST_OF_A_WOOD:
            more.add(wood)
    return pieces, more


def _lots() -> list[Lot]:
    """Newest first; what never was is left out. One query."""
    lots = Lot.objects.exclude(pieces__state=State.UNDONE).select_related("delivery")
    return list(lots.order_by("-delivery__on", "-delivery_id", "number")[:MOST_LOTS])


def _yields() -> dict[str, planning.PastYield]:
    """What came of wood in finished jobs, by their reckonings and the rack's entries. Four queries at most."""
    finished = Job.objects.filter(state__in=(Job.State.FINISHED, Job.State.HANDED_OVER)).exclude(plan=None)
    jobs = list(finished.select_related("plan").defer("plan__inputs", "plan__result").order_by("-pk")[:MOST_FINISHED])
    if not jobs:
        return {}
    nets = _nets({job.plan_id: job.plan for job in jobs})
    taken: dict[str, dict[str, Fraction]] = {}
    outs = StockPiece.objects.filter(state=State.TAKEN, demand__key__in=[job.key for job in jobs])
    for piece in outs.select_related("demand"):
        _add(taken, piece.demand.key, piece.wood, volume_mm3(piece.thickness, piece.width, piece.length))
    came = StockMove.objects.filter(
        entry__kind=Kind.RETURNED, entry__undone_by=None, piece__parent__in=outs, piece__parent__state=State.TAKEN
    ).filter(before={})
    came = came.exclude(after={})
    for move in came.select_related("piece__parent__demand"):
        _add(taken, move.piece.parent.demand.key, move.piece.wood, -volume_mm3(*size_came(move)))
    return planning.past_yields((nets[job.plan_id], taken.get(job.key, {})) for job in jobs)


def _add(taken: dict, key: str, wood: str, volume: Fraction) -> None:
    mine = taken.setdefault(key, {})
    mine[wood] = mine.get(wood, Fraction(0)) + board_feet(volume)


def _nets(plans: Mapping[int, Plan]) -> dict[int, dict[str, Fraction]]:
    """What of each wood stays in the boards of a plan; a plan never changes, so its record is read once. One query at
    most."""
    keys = {f"net:{plan.sha256}": pk for pk, plan in plans.items()}
    found = {keys[key]: net for key, net in cache.get_many(keys).items()}
    for plan in Plan.objects.filter(pk__in=set(plans) - set(found)).only("result", "sha256"):
        found[plan.pk] = planning.net_feet(plan.record)
        cache.set(f"net:{plan.sha256}", found[plan.pk], _AN_HOUR)
    return found


def _figures(one) -> dict[str, Mapping]:
    figures = {name: getattr(one, name).as_record() for name in ("net", "assumed", "amount", "waste", "adding")}
    if one.cost is not None:
        figures |= {name: getattr(one.cost, name).as_record() for name in ("least", "median", "most")}
    return figures


@dataclass(frozen=True)
class Design:
    """A kept plan, what the offcuts give of it, and what it asks for an hour."""

    plan: Plan
    made: object
    percent: int
    an_hour: Mapping | None


def what_offcuts_become(ticked: Sequence[Choice], workshop: Workshop) -> tuple[int, list[Design]]:
    """The planned offcuts of the cut plans that are ticked, and which kept plans can be made of them: what can be made
    first, then by price over hours. Three queries at most."""
    sheets = [one.sheet for one in ticked if one.sheet is not None]
    if not sheets:
        return 0, []
    numbers = [plan.pk for plan in newest_plans()[:MOST_PLANS]]
    plans = {plan.pk: plan for plan in Plan.objects.filter(pk__in=numbers).select_related("design")}
    settled = [(sheet, standing.settled) for sheet, standing in standings_of(sheets)]
    asked = [[[sheet.sha256, sorted(gone)] for sheet, gone in settled], sorted(plans), planning.shop_told(workshop)]
    key = "becoming:" + hashlib.sha256(canonical(asked).encode()).hexdigest()
    told = cache.get(key)
    if told is None:
        found = planning.becoming(settled, plans, workshop)
        told = (
            found.offcuts,
            [(plan.pk, one.made, one.an_hour.as_record() if one.an_hour else None) for plan, one in found.designs],
        )
        cache.set(key, told, _AN_HOUR)
    offcuts, order = told
    # Cut down, not rounded: all but one tile is not all.
    return offcuts, [Design(plans[pk], made, int(made.share * 100), an_hour) for pk, made, an_hour in order]
