"""What to buy for several boards together, after the rack has given what it can."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import Any

from planner.cutting.buying.amounts import adding, amount, cost_of, losing, ranges_of, rule_of, sold_by
from planner.cutting.buying.kinds import kinds_for, nominal_for
from planner.cutting.buying.terms import BoughtBefore, Buying, Enough, Likely, PastYield, PriceRange, ToBuy, Want
from planner.cutting.buying.trial import Trial, try_kind
from planner.cutting.fromshop import Cut, Piece, Wishes, cuts_in, names_of
from planner.cutting.plan import CutPlanError
from planner.figures import Figure, Term
from planner.measures import Length, board_feet, cubic_metres, volume_mm3
from planner.shop import Shop

MOST_LIKELY = 3
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_QUARTER = Length.of_inches("1/4")
_PLAN = "the cut plan made of these boards"

Ranges = Mapping[tuple[str, Length, str], PriceRange]


@dataclass(frozen=True, slots=True)
class _Group:
    """Parts of one wood that come out of one rough thickness, and what of them stays in the finished boards."""

    wood: str
    nominal: Length
    cuts: tuple[Cut, ...]
    net_mm3: Fraction

    @property
    def milled(self) -> Length:
        return max(cut.thickness for cut in self.cuts)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What stays the same for every wood of a list."""

    shop: Shop
    past: Sequence[BoughtBefore]
    yields: Mapping[str, PastYield]
    ranges: Ranges
    waste: Fraction
    exponent: int
    names: dict[str, str]


def what_to_buy(
    wants: Sequence[Want],
    shop: Shop,
    rack: Sequence[Piece],
    past: Sequence[BoughtBefore] = (),
    *,
    yields: Mapping[str, PastYield] | None = None,
    prices: Ranges | None = None,
    waste: Fraction = Fraction(3, 10),
    exponent: int = 2,
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = 0,
) -> Buying:
    """What is missing for all of ``wants`` together once the free pieces of ``rack`` are used, and what to ask for.

    ``past`` are boards bought before, newest first; their sizes are tried and, where ``prices`` are not given, their
    prices told. ``yields`` is by wood what came of wood in this maker's own finished jobs. ``waste`` is the share the
    rules of thumb are told with. Each wood is planned with, thickest first, boards of one size at a time; a plan by
    habit is no proof, and ``steps`` of search may find that less will do. Raises CutPlanError for what no purchase
    mends: a limit of the shop's own.
    """
    names: dict[str, str] = {}
    for want in wants:
        names |= names_of(want.record)
    asked = _Asked(shop, past, yields or {}, ranges_of(past) if prices is None else prices, waste, exponent, names)
    lines: list[ToBuy] = []
    enough: list[Enough] = []
    left = list(rack)
    for group in _groups(wants, shop, past):
        trials = _trials(group, left, asked, keep_going, steps)
        first = trials[0]
        used = set(first.from_rack)
        left = [piece for piece in left if piece.mark not in used]
        if first.bought:
            lines.append(_line(group, trials, asked))
        else:
            named = names.get(group.wood, group.wood)
            enough.append(Enough(group.wood, named, group.milled, first.from_rack))
    return Buying(tuple(lines), tuple(enough))


def _groups(wants: Sequence[Want], shop: Shop, past: Sequence[BoughtBefore]) -> list[_Group]:
    """Parts of all wants that are cut alike made one, by wood and the thickness it is bought in, thickest first."""
    cuts: dict[tuple[str, Length], dict[Cut, Cut]] = defaultdict(dict)
    net: dict[tuple[str, Length], Fraction] = defaultdict(Fraction)
    nominal: dict[tuple[str, Length], Length] = {}
    for want in wants:
        for cut in cuts_in(want.record, shop, Wishes()):
            milled = cut.wood, cut.thickness
            if milled not in nominal:
                nominal[milled] = nominal_for(cut.wood, cut.thickness, past, shop)
            mine = cuts[cut.wood, nominal[milled]]
            bare = replace(cut, count=0, spares=0, name="")
            before = mine.get(bare)
            mine[bare] = (
                cut
                if before is None
                else replace(before, count=before.count + cut.count, spares=before.spares + cut.spares)
            )
        for part in want.record["parts"]:
            thickness = Length.of_mm(part["stages"]["ripped"][2])
            size = [Length.of_mm(text) for text in part["stages"]["finished"]]
            volume = volume_mm3(size[0], size[1], size[2]) * _pieces_of(part, want.record["spec"]["quantity"])
            net[part["wood"], nominal[part["wood"], thickness]] += volume
    groups = [_Group(wood, thick, tuple(mine.values()), net[wood, thick]) for (wood, thick), mine in cuts.items()]
    return sorted(groups, key=lambda group: (-group.nominal.mm, -group.net_mm3))


def _pieces_of(part: Mapping[str, Any], copies: int) -> int:
    """How many pieces of the finished boards a part is or gives."""
    pieces: int = part["pieces"] if part.get("for_all") else part["count"] * copies
    return pieces


def _trials(
    group: _Group, rack: Sequence[Piece], asked: _Asked, keep_going: Callable[[], bool], steps: int
) -> list[Trial]:
    """A plan with each kind of board, the cheapest first; the assumed size stands in only where no other will do."""
    free = [piece for piece in rack if piece.wood == group.wood]
    found: list[Trial] = []
    *known, usual = kinds_for(group.wood, group.nominal, group.milled, group.cuts, asked.past, asked.shop)
    for kind in known:
        try:
            found.append(try_kind(group.cuts, free, kind, asked.shop, asked.names, keep_going, steps))
        except CutPlanError:
            continue
    if not found:
        found = [try_kind(group.cuts, free, usual, asked.shop, asked.names, keep_going, steps)]

    def dear(trial: Trial) -> tuple[bool, Fraction, int]:
        """At the median price; those whose price is not known after the others, by volume."""
        prices = asked.ranges.get((group.wood, group.nominal, sold_by(trial.kind.per, group.wood)))
        if prices is None:
            return True, trial.nominal_mm3, trial.bought
        return False, _sold(trial, trial.nominal_mm3) * Fraction(prices.median), trial.bought

    return sorted(found, key=dear)


def _sold(trial: Trial, volume: Fraction) -> Fraction:
    kind = trial.kind
    per = sold_by(kind.per, kind.wood)
    return amount(volume, per, kind.nominal, kind.width, kind.length, kind.wood)


def _line(group: _Group, trials: Sequence[Trial], asked: _Asked) -> ToBuy:
    first, kind, shop = trials[0], trials[0].kind, asked.shop
    per = sold_by(kind.per, kind.wood)
    net_mm3 = group.net_mm3 * first.share
    net = _net(group, first, net_mm3, per, shop)
    assumed, why = _yield(group, net_mm3, first, asked)
    assert isinstance(assumed.value, Fraction)
    quantity = Figure(
        _sold(first, net_mm3 / assumed.value),
        per,
        f"net ÷ yield; {rule_of(per)}",
        "1 board foot = 144 cubic inches" if per == "bf" else "",
        (Term("Net", net), Term("Yield", assumed)),
    )
    prices = asked.ranges.get((group.wood, group.nominal, per))
    likely = tuple(_likely(trial, asked) for trial in trials[:MOST_LIKELY])
    # Boards are bought whole, and more of them where the maker's own yield asks for more than the plan does.
    paid_for = max(quantity, likely[0].amount, key=lambda one: one.value)
    return ToBuy(
        wood=group.wood,
        name=asked.names.get(group.wood, group.wood),
        nominal=group.nominal,
        milled=group.milled,
        missing=first.missing,
        from_rack=first.from_rack,
        likely=likely,
        net=net,
        assumed=assumed,
        why=why,
        amount=quantity,
        cost=None if prices is None else cost_of(paid_for, prices, asked.exponent),
        waste=losing(net, asked.waste),
        adding=adding(net, asked.waste),
        words=_asked_for(likely[0], first, net_mm3 / assumed.value, shop),
    )


def _asked_for(likely: Likely, trial: Trial, gross_mm3: Fraction, shop: Shop) -> str:
    """What to ask for; where the maker's own yield asks for more boards than the plan does, that is said too."""
    said = in_words(likely, shop)
    rather = ceil(gross_mm3 * trial.bought / trial.nominal_mm3)
    return f"{said}; by your own yield rather {_count(rather)}" if rather > trial.bought else said


def _net(group: _Group, trial: Trial, net_mm3: Fraction, per: str, shop: Shop) -> Figure:
    in_feet = per == "bf" or (per not in ("m3", "m2") and shop.unit == "in")
    measure, unit = (board_feet, "bf") if in_feet else (cubic_metres, "m3")
    return Figure(
        measure(net_mm3),
        unit,
        "what will stay in the finished boards, spares left out × the share of the parts the rack does not give",
        "1 board foot = 144 cubic inches" if unit == "bf" else "",
        (
            Term("In the finished boards, of this wood", Figure(measure(group.net_mm3), unit, "from the reckonings")),
            Term("Not from the rack, by volume of parts", Figure(trial.share, "share", _PLAN)),
        ),
    )


def _yield(group: _Group, net_mm3: Fraction, trial: Trial, asked: _Asked) -> tuple[Figure, str]:
    """The maker's own past yield of the wood where there is one, else the share the plan itself has."""
    past = asked.yields.get(group.wood)
    if past is not None and past.jobs and 0 < past.net_mm3 <= past.gross_mm3:
        many = f"{past.jobs} finished {'job' if past.jobs == 1 else 'jobs'}"
        figure = Figure(
            past.net_mm3 / past.gross_mm3,
            "share",
            "what stayed in finished boards ÷ what was taken for them",
            f"your own book: {many}",
            (
                Term("Stayed in boards", Figure(cubic_metres(past.net_mm3), "m3", "from the jobs' reckonings")),
                Term("Taken for them", Figure(cubic_metres(past.gross_mm3), "m3", "less what went back to the rack")),
            ),
        )
        return figure, f"Your own yield of this wood, from {many}."
    figure = Figure(
        net_mm3 / trial.used_mm3,
        "share",
        "what will stay in the finished boards ÷ what is used of the boards to buy, at the thickness they are sold by",
        _PLAN,
        (
            Term("Boards to buy", Figure(trial.bought, "boards", _PLAN)),
            Term("They measure", Figure(cubic_metres(trial.nominal_mm3), "m3", "thickness sold by × width × length")),
            Term("Offcuts to the rack", Figure(cubic_metres(trial.kept_mm3), "m3", "those worth keeping, as planned")),
        ),
    )
    return figure, (
        "The yield of a cut plan made of these very boards; you have no finished job of this wood yet to go by."
    )


def _likely(trial: Trial, asked: _Asked) -> Likely:
    kind = trial.kind
    per = sold_by(kind.per, kind.wood)
    boards = Term("Boards", Figure(trial.bought, "boards", _PLAN))
    quantity = Figure(_sold(trial, trial.nominal_mm3), per, f"all these boards; {rule_of(per)}", "", (boards,))
    prices = asked.ranges.get((kind.wood, kind.nominal, per))
    cost = None if prices is None else cost_of(quantity, prices, asked.exponent).median
    return Likely(
        trial.bought, kind.nominal, kind.width, kind.length, kind.before, kind.other_wood, per, quantity, cost
    )


def in_words(likely: Likely, shop: Shop) -> str:
    """What to ask for, as it is said at a yard.

    >>> from planner.figures import Figure
    >>> inch, mm = Length.of_inches, Length.of_mm
    >>> boards = Likely(2, inch(1), mm(150), mm(2400), True, False, "bf", Figure(2, "bf", ""), None)
    >>> in_words(boards, Shop())
    'two 4/4 of 150 mm × 2400 mm or alike'
    """
    size = f"{shop.says(likely.width)} × {shop.says(likely.length)}"
    return f"{_count(likely.count)} {thickness_words(likely.nominal, shop)} of {size} or alike"


def _count(many: int) -> str:
    return _COUNTS[many] if many < len(_COUNTS) else str(many)


def thickness_words(nominal: Length, shop: Shop) -> str:
    """Quarters of an inch as the trade says them, or the length."""
    quarters = nominal / _QUARTER
    return f"{ceil(quarters)}/4" if quarters.denominator == 1 and quarters >= 2 else shop.says(nominal)
