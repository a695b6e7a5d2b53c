"""The proposals' one door to the planner: wishes in, boards that keep them or say what gives way out.

Every board proposed is reckoned as the reckoning's own page would; nothing is estimated beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from planner.measures import Length, decimals
from planner.pattern import Pattern
from planner.proposing import (
    LEAST_ANGLE_SOURCE,
    SHAPES,
    Shape,
    as_large_as,
    largest_within,
    least_tile,
    pitches,
    sized,
    thickness_of,
    told_apart_from,
)
from shopapp.common.templatetags.shop import money
from shopapp.designs.models import PatternVersion
from shopapp.lumber import planning as lumber_planning
from shopapp.plans import planning as plans_planning
from shopapp.plans.methods import planning as methods
from shopapp.plans.timetable import planning as timetable
from shopapp.plans.timetable.asked import free_sessions
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop import readers as workshop_readers
from shopapp.workshop.models import Workshop

__all__ = ["LEAST_ANGLE_SOURCE", "Proposal", "copies_before", "propose"]

# The most copies before a day that are looked for; each number is a timetable to be made.
MOST_COPIES = 24
# Shorter than it may be by more than this share of it is told.
_TOLD_SHORT = Fraction(1, 20)


@dataclass(frozen=True)
class Proposal:
    """``board`` as the reckoning's form takes it, ``record`` what it is reckoned to; ``misses`` says of every wish that
    is not kept by how much. ``ready`` is by the rules of a timetable alone, None where it cannot be told."""

    shape: Shape
    board: Mapping
    record: Mapping
    way: str
    misses: list[str]
    notes: list[str]
    ready: datetime | None
    told_apart: Length

    @property
    def size(self) -> tuple[Length, Length]:
        """Length and height as it hangs."""
        return plans_planning.hanging_size(self.record)

    def seen_from(self, distance: Length) -> Length:
        """How long the drawing is at arm's length."""
        return as_large_as(self.size[0], distance)


def propose(version: PatternVersion, wishes: Mapping, workshop: Workshop, today: date) -> list[Proposal]:
    """Boards for these wishes, those that miss least first. Raises PlannerError where none can be made."""
    pattern = Pattern.from_text(version.pattern)
    shop = workshop_planning.shop_of(workshop)
    offers = lumber_planning.offers()
    woods = {*pattern.woods, wishes["border_wood"]}
    stock = [offers[name].stock.thickness for name in woods if name in offers]
    if not stock:
        raise PlannerError("None of its woods is on hand.", mend="Add its woods to the woods on hand first.")
    thickness = thickness_of(stock, wishes["use"], shop)
    found: dict[tuple, Proposal] = {}
    refused: PlannerError | None = None
    for shape in SHAPES:
        fitting = pitches(pattern.height, pattern.width, shape, shop, length=wishes["length"], height=wishes["height"])
        # Without side borders, and with those at top and bottom, only where others cannot be.
        if not fitting or (shape.key == "ends" and found):
            continue

        def board_at(pitch: Length, shape: Shape = shape) -> dict:
            return _board(pattern, shape, pitch, thickness, wishes, workshop)

        try:
            wanted = _pitches(version, board_at, fitting, wishes, workshop)
        except PlannerError as error:
            refused = refused or error
            continue
        for pitch in wanted:
            board = board_at(pitch)
            key = tuple(board[name] for name in ("pitch", "side_border", "end_border"))
            if key not in found:
                found[key] = _proposal(version, shape, board, wishes, workshop, today)
    if not found:
        raise refused or PlannerError(
            "No tile the saw can cut is small enough for that size.",
            mend="Allow a larger board, or crop or reduce the picture.",
            field="length",
        )
    return sorted(found.values(), key=lambda one: (len(one.misses), -one.board["pitch"].mm * one.size[0].mm))


def _pitches(version, board_at, fitting, wishes: Mapping, workshop: Workshop) -> list[Length]:
    """The largest that fits, unless only a budget was named, and the largest within the budget."""
    budget = wishes["budget"]
    if budget is None:
        return _that_can_be_made(version, board_at, fitting, workshop)

    def price_of(pitch: Length) -> Decimal | None:
        try:
            return _price(_record(version, board_at(pitch), workshop))
        except PlannerError:
            return None

    within = largest_within(fitting, price_of, Decimal(budget))
    named = wishes["length"] is not None or wishes["height"] is not None
    wanted = [] if within is None else [within]
    if named and within != fitting[-1]:
        wanted = [*_that_can_be_made(version, board_at, fitting, workshop), *wanted]
    # Nothing is cheap enough: the smallest there is comes nearest.
    return wanted or _that_can_be_made(version, board_at, fitting[:1], workshop)


def _that_can_be_made(version, board_at, fitting, workshop: Workshop) -> list[Length]:
    _record(version, board_at(fitting[-1]), workshop)
    return [fitting[-1]]


def _board(pattern: Pattern, shape: Shape, pitch: Length, thickness: Length, wishes: Mapping, workshop) -> dict:
    scale = workshop_planning.shop_of(workshop).saw_scale
    board = sized(pattern.height, pattern.width, shape, pitch, scale)
    return {
        "use": wishes["use"],
        "pitch": pitch,
        "thickness": thickness,
        "side_border": board.side_border,
        "end_border": board.end_border,
        "border_wood": wishes["border_wood"],
        "method": "runs",
        "along": "rows",
        "quantity": wishes["quantity"],
        **plans_planning.usually_asked(workshop),
    }


def _record(version: PatternVersion, board: Mapping, workshop: Workshop) -> dict:
    return plans_planning.reckon_board(version, board, workshop)[1]


def _price(record: Mapping) -> Decimal | None:
    price = record["figures"].get("price")
    return None if price is None else Decimal(price["value"][1])


def _proposal(
    version: PatternVersion, shape: Shape, board: dict, wishes: Mapping, workshop: Workshop, today: date
) -> Proposal:
    compared = methods.compared(version, board, workshop, briefly=True)
    ways = {way["key"]: way for way in compared["ways"]}
    best = ways.get(compared["choice"]["best"] or "")
    if best is not None:
        board = {**board, "method": best["method"], "along": best["along"]}
    way = ways[f"{board['method']}-{board['along']}"]
    record = _record(version, board, workshop)
    ready = _ready(record, 1, workshop, today)
    proposal = Proposal(
        shape,
        board,
        record,
        way["words"],
        [],
        [],
        ready and timetable.moment(today, ready),
        told_apart_from(board["pitch"]),
    )
    _judge(proposal, way, wishes, workshop)
    return proposal


def _judge(proposal: Proposal, way: Mapping, wishes: Mapping, workshop: Workshop) -> None:
    """What of the wishes gives way, and by how much."""
    shop, price = workshop_planning.shop_of(workshop), _price(proposal.record)
    if price is None:
        proposal.misses.append("no price can be asked that pays for it")
    elif wishes["budget"] is not None and price > wishes["budget"]:
        proposal.misses.append(f"{money(price - Decimal(wishes['budget']), workshop)} more than it may cost")
    if wishes["due"] is not None:
        ends = datetime.combine(wishes["due"] + timedelta(days=1), datetime.min.time())
        if proposal.ready is None:
            proposal.misses.append("whether it is ready by that day cannot be told")
        elif proposal.ready > ends:
            days = (proposal.ready.date() - wishes["due"]).days
            proposal.misses.append(f"ready {days} day{'s' if days > 1 else ''} later, begun now")
    if wishes["distance"] is not None and proposal.board["pitch"] < least_tile(wishes["distance"]):
        proposal.misses.append(f"single tiles are not told apart from {far(wishes['distance'], workshop.unit)}")
    if not way["meets"] and not way["seamless"]:
        proposal.misses.append("no way of building it holds its weakest seam as you ask for")
    for name, got, words in (("length", proposal.size[0], "shorter"), ("height", proposal.size[1], "lower")):
        most = wishes[name]
        if most is not None and most.mm - got.mm > most.mm * _TOLD_SHORT:
            proposal.notes.append(f"{shop.says(most - got)} {words} than it may be")


def _ready(record: Mapping, copies: int, workshop: Workshop, today: date) -> int | None:
    """The slot at which so many are done, begun today, by a timetable's rules alone."""
    sessions = free_sessions(today)
    materials = timetable.Materials(workshop_readers.adhesives()[0], workshop_readers.finishes()[0])
    try:
        text = timetable.freeze([("", record)] * copies, workshop, materials, False, sessions, {})
        return timetable.finish_in(timetable.first_times(text))
    except PlannerError:
        return None


def far(distance: Length, unit: str, places: int = 2) -> str:
    """A distance across a room as it is said there: in metres or feet.

    >>> far(Length.of_mm(3000), "mm"), far(Length.of_inches(120), "in")
    ('3 m', '10 ft')
    """
    if unit == "mm":
        return f"{decimals(distance.mm / 1000, places)} m"
    return f"{decimals(distance.inches / 12, places)} ft"


def copies_before(record: Mapping, due: date, workshop: Workshop, today: date) -> int:
    """How many of a board are done by the end of a day, each a board of its own, by the rules alone and up to
    MOST_COPIES; a search may find room for one more."""
    ends = timetable.day_slot(today, due) + timetable.SLOTS_A_DAY

    def done(copies: int) -> bool:
        finish = _ready(record, copies, workshop, today)
        return finish is not None and finish <= ends

    low, high = 0, 1
    while high <= MOST_COPIES and done(high):
        low, high = high, high * 2
    high = min(high, MOST_COPIES + 1)
    while high - low > 1:
        middle = (low + high) // 2
        if done(middle):
            low = middle
        else:
            high = middle
    return low
