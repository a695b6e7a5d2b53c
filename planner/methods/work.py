"""One way's work for so many copies, and the figures a page shows of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.hours import OPERATIONS, likely_minutes
from planner.length import decimals
from planner.measures import Length, board_feet, cubic_metres, round_half_up, square_metres
from planner.methods.terms import END_GRAIN_SOURCE, Maker, Weakest
from planner.pricing import WoodCost, wood_cost


@dataclass(frozen=True, slots=True)
class StripsOf:
    """The strips of one wood: how many, how long all together, and the longest."""

    wood: str
    count: int
    total: Length
    longest: Length


@dataclass(frozen=True, slots=True)
class Work:
    """Counts for all copies, spares left out of ``pieces`` and in all others. Areas in mm², volumes in mm³; ``kerf``
    and ``grip`` are dust and the ends kept in the hand. ``glue_ups``, ``long_joints`` and ``kerf`` by what they are
    of."""

    pieces: int
    crosscuts: int
    stops: int
    glue_ups: Mapping[str, int]
    end_joints: int
    long_joints: Mapping[str, int]
    end_mm2: Fraction
    long_mm2: Fraction
    strips: tuple[StripsOf, ...]
    kerf: Mapping[str, Fraction]
    grip: Fraction
    gross: Mapping[str, Fraction]
    operations: Mapping[str, Fraction]


def hours_of(work: Work, maker: Maker) -> Fraction:
    return sum((maker.times[name] * count for name, count in work.operations.items()), Fraction(0)) / 60


def wood_of(work: Work, maker: Maker) -> Decimal:
    exponent = maker.rates.exponent
    return sum((round_half_up(one.amount * Fraction(one.price), exponent) for one in _costs(work, maker)), Decimal(0))


def total_of(work: Work, maker: Maker) -> Decimal:
    """Wood and hours at the maker's rate."""
    return wood_of(work, maker) + _labour(hours_of(work, maker), maker)


def figures_of(work: Work, weakest: Weakest | None, maker: Maker) -> dict[str, Figure]:
    """Every number of one way, each with what it is made of."""
    hours, wood = _hours(work, maker), _wood(work, maker)
    assert isinstance(hours.value, Fraction) and isinstance(wood.value, Decimal)
    labour = _labour(hours.value, maker)
    found = {
        "pieces": Figure(work.pieces, "pieces", "pieces to cut and lay for all boards, spares left out"),
        "crosscuts": Figure(work.crosscuts, "cut", "spares and the squaring of each strip's end with them"),
        "strips": _strips(work, maker),
        "stops": Figure(work.stops, "setting", "different lengths cut, each set once for all boards"),
        "glue_ups": _sum(work.glue_ups, "glue-up", "what is glued by itself before rows are joined"),
        "end_joints": Figure(work.end_joints, "joint", "end grain to end grain", END_GRAIN_SOURCE),
        "long_joints": _sum(work.long_joints, "joint", "along the grain: side grain to side grain"),
        "glue_area": Figure(
            square_metres(work.end_mm2 + work.long_mm2),
            "m2",
            "every joint counted once",
            terms=(
                Term("End grain", Figure(square_metres(work.end_mm2), "m2", "counted from the parts and the lumber")),
                Term(
                    "Along the grain",
                    Figure(square_metres(work.long_mm2), "m2", "counted from the parts and the lumber"),
                ),
            ),
        ),
        "waste": _waste(work, maker),
        "wood": wood,
        "hours": hours,
        "total": Figure(
            wood.value + labour,
            "money",
            "wood + hours at the maker's rate",
            terms=(
                Term("Wood", Figure(wood.value, "money", wood.rule)),
                Term("Hours", Figure(labour, "money", "hours × the maker's hour", "the workshop's settings")),
            ),
        ),
    }
    if weakest is not None:
        found |= _seam_figures(weakest)
    return found


def _seam_figures(weakest: Weakest) -> dict[str, Figure]:
    carried = Figure(
        weakest.carried,
        "mm",
        f"{weakest.place}: rows where a piece lies across the seam, and the borders along the rows",
        END_GRAIN_SOURCE,
        (
            Term("The board across its rows", Figure(weakest.of, "mm", "from edge to edge, along the seam")),
            Term("Longest stretch without any", Figure(weakest.longest_gap, "mm", "along it, no piece across")),
        ),
    )
    gap = Figure(weakest.longest_gap, "mm", f"{weakest.place}: the longest stretch of it that no piece crosses")
    share = Figure(weakest.share, "share", "carried ÷ the board across its rows")
    return {"carried": carried, "share": share, "gap": gap}


def _labour(hours: Fraction, maker: Maker) -> Decimal:
    return round_half_up(hours * Fraction(maker.rates.hour), maker.rates.exponent)


def _costs(work: Work, maker: Maker) -> list[WoodCost]:
    found = []
    for name, volume in sorted(work.gross.items(), key=lambda one: (-one[1], one[0])):
        offer = maker.offers[name]
        amount = board_feet(volume) if offer.per == "bf" else cubic_metres(volume)
        found.append(WoodCost(offer.name, amount, offer.per, offer.price))
    return found


def _hours(work: Work, maker: Maker) -> Figure:
    """A term an operation, flat: what is compared is kept with every plan."""
    minutes = likely_minutes(maker.times, work.operations)
    assert isinstance(minutes.value, Fraction)
    terms = []
    for operation in OPERATIONS:
        count = work.operations.get(operation.key)
        if count:
            each = maker.times[operation.key]
            rule = f"{decimals(count, 2)} × {decimals(each, 4)} min"
            terms.append(Term(operation.words, Figure(count * each, "min", rule)))
    return Figure(
        minutes.value / 60,
        "h",
        "sum over the operations of count × minutes, ÷ 60",
        minutes.source,
        tuple(terms),
    )


def _wood(work: Work, maker: Maker) -> Figure:
    whole = wood_cost(_costs(work, maker), maker.rates.exponent)
    terms = []
    for term, cost in zip(whole.terms, _costs(work, maker), strict=True):
        rule = f"{decimals(cost.amount, 4)} {cost.unit} sawn × {cost.price} per {cost.unit}"
        terms.append(Term(term.name, Figure(term.figure.value, "money", rule)))
    return Figure(whole.value, "money", whole.rule, "the woods on hand", tuple(terms))


def _sum(parts: Mapping[str, int], unit: str, rule: str) -> Figure:
    terms = tuple(Term(name, Figure(count, unit, "counted")) for name, count in parts.items() if count)
    return Figure(sum(parts.values()), unit, rule, terms=terms)


def _strips(work: Work, maker: Maker) -> Figure:
    says = maker.shop.says
    terms = tuple(
        Term(
            maker.offers[one.wood].name,
            Figure(one.count, "strip", f"{says(one.total)} together, the longest {says(one.longest)}"),
        )
        for one in work.strips
    )
    return Figure(sum(one.count for one in work.strips), "strip", "to rip, trims and grip included", terms=terms)


def _waste(work: Work, maker: Maker) -> Figure:
    per_foot = all(maker.offers[name].per == "bf" for name in work.gross)
    unit, measure = ("bf", board_feet) if per_foot else ("m3", cubic_metres)
    parts = {**work.kerf, "Ends kept to hold by": work.grip}
    return Figure(
        measure(sum(parts.values(), Fraction(0))),
        unit,
        "what the blade takes and the end of every strip or panel that is never cut",
        terms=tuple(
            Term(name, Figure(measure(volume), unit, "length × width × height")) for name, volume in parts.items()
        ),
    )
