"""The door to the planner of what would lower a price: a board and the shop's rows in, changes with their prices out.

Every change is reckoned as the reckoning's own page would; none is estimated. What the planner refuses, what makes a
seam weaker than the maker lets it be, and what cannot be read any more in its woods, is no choice.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from django.core.cache import cache

from planner.errors import PlannerError
from planner.matching.relaid import Laid
from planner.measures import ZERO, Length, board_feet
from planner.pattern import Pattern
from planner.reckoning import Reckoning, WoodOffer
from shopapp.designs.models import PatternVersion
from shopapp.plans import otherwoods
from shopapp.plans import planning as plans
from shopapp.plans.methods import planning as methods
from shopapp.plans.models import canonical
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Workshop

__all__ = ["Change", "CopiesRow", "Lowered", "lowered"]

COPIES = range(1, 11)
# Of the table, those that are offered as a change.
_OFFERED = (2, 5, 10)
# How much smaller or larger tiles and borders are tried, of what they are.
_STEP = Fraction(1, 10)
_NARROWER = Fraction(1, 4)
# How much thinner a board is tried, and how thin no board is asked to be here (common practice, no source).
_THINNER = Length.of_mm(2)
_THINNEST = Length.of_mm(12)
# Woods that cost most are looked at, and of the woods for each those that come to least.
_DEAREST, _EACH = 3, 2
_WAYS = 3
# What is less than this share of the price is not worth doing anything otherwise for (common practice, no source).
LEAST_SAVED = Fraction(1, 200)


@dataclass(frozen=True)
class Change:
    """Something done otherwise. ``board`` is how the reckoning is asked for it, ``laid`` the wood of the drawing that
    is laid in another, and which; ``saved`` is of one board. The rest is what it costs: sizes where they change, the
    share the weakest seam carries, how much of the picture's edges is kept, what is paid out before the first of
    several is sold, and new warnings."""

    kind: str
    board: Mapping
    price: Decimal
    saved: Decimal
    laid: tuple[str, str] = ("", "")
    size: tuple[Length, Length] | None = None
    seam: Fraction | None = None
    edges: float | None = None
    ahead: Decimal | None = None
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class CopiesRow:
    """One board of so many made at once; without a price ``no_price`` says why."""

    copies: int
    cost: Decimal
    price: Decimal | None
    profit_all: Decimal | None
    hour_earns: Decimal | None
    hours_each: Fraction
    no_price: str = ""


@dataclass(frozen=True)
class Lowered:
    """``price`` is the board's own by today's woods and rates, ``changes`` what makes it less, most first."""

    price: Decimal | None
    no_price: str
    quantity: int
    size: tuple[Length, Length]
    seam: Fraction | None
    copies: list[CopiesRow]
    changes: list[Change] = field(default_factory=list)
    tried: int = 0


def lowered(version: PatternVersion, board: Mapping, workshop: Workshop) -> Lowered:
    """From the cache when nothing it depends on has changed. Raises PlannerError where the board itself cannot be
    reckoned."""
    given = plans.given_of(workshop)
    # Any wood on hand may be laid for another.
    asked = canonical([plans.inputs_of(version, board, given), str(sorted(given.offers.items()))])
    key = "lowering:" + hashlib.sha256(f"{plans.PLANNER_VERSION}{asked}".encode()).hexdigest()
    found = cache.get(key)
    if found is None:
        found = _Looking(version, board, given).found()
        cache.set(key, found, 600)
    return found


class _Looking:
    """One board, and everything about it that may be otherwise."""

    def __init__(self, version: PatternVersion, board: Mapping, given: plans.Given) -> None:
        self.version, self.board, self.given = version, dict(board), given
        self.now = plans.reckoned(version, board, given)
        self.shop = workshop_planning.shop_of(given.workshop)
        self.tried = 0

    def found(self) -> Lowered:
        quantity = self.board["quantity"]
        of_copies = {copies: self._of_copies(copies) for copies in sorted({*COPIES, quantity})}
        rows = [_row(copies, one) for copies, one in of_copies.items()]
        price, seam = self.now.asking.price, _seam(self.now)
        base = Lowered(price, self.now.asking.no_price, quantity, _size(self.now, self.board), seam, rows)
        if price is None:
            return base
        changes = [
            change
            for copies in _OFFERED
            if copies > quantity
            and (change := self._change("copies", {"quantity": copies}, made=of_copies[copies])) is not None
        ]
        changes += filter(None, (self._change(kind, asked) for kind, asked in self._otherwise()))
        changes += filter(None, self._in_other_woods())
        best: dict[object, Change] = {}
        for change in sorted(changes, key=lambda one: -one.saved):
            best.setdefault(_same(change), change)
        return Lowered(price, "", quantity, base.size, seam, rows, list(best.values()), self.tried)

    def _of_copies(self, copies: int) -> Reckoning:
        if copies == self.board["quantity"]:
            return self.now
        self.tried += 1
        return plans.reckoned(self.version, {**self.board, "quantity": copies}, self.given)

    def _otherwise(self) -> Iterator[tuple[str, dict]]:
        """Every change of the board's own fields that is tried: what it is called, and what is asked instead."""
        board, scale = self.board, self.shop.saw_scale
        for way in self._ways():
            yield "way", way
        for kind, factor in (("smaller", 1 - _STEP), ("larger", 1 + _STEP)):
            pitch = _on_scale(board["pitch"] * factor, scale)
            if pitch > ZERO and pitch != board["pitch"]:
                yield kind, {"pitch": pitch}
        borders = {name: _on_scale(board[name] * (1 - _NARROWER), scale) for name in ("side_border", "end_border")}
        if any(borders[name] != board[name] for name in borders):
            yield "borders", borders
        if board["thickness"] - _THINNER >= max(_THINNEST, self.shop.thinnest_planed):
            yield "thinner", {"thickness": board["thickness"] - _THINNER}

    def _ways(self) -> list[dict]:
        """Other ways of building whose wood and hours come to less, the least first."""
        found = methods.compared(self.version, self.board, self.given.workshop, briefly=True, given=self.given)
        ways = {way["key"]: way for way in found["ways"] if way["figures"] and not way["refused"]}
        mine = ways.pop(f"{self.board['method']}-{self.board.get('along', 'rows')}", None)
        totals = {key: Fraction(way["figures"]["total"]["value"][1]) for key, way in ways.items()}
        most = None if mine is None else Fraction(mine["figures"]["total"]["value"][1])
        less = sorted((key for key in ways if most is None or totals[key] < most), key=totals.__getitem__)
        return [{"method": ways[key]["method"], "along": ways[key]["along"]} for key in less[:_WAYS]]

    def _in_other_woods(self) -> Iterator[Change | None]:
        """The woods that cost most in others that cost less or are there already, where the picture can still be read;
        and the border in another."""
        pattern, offers, border = Pattern.from_text(self.version.pattern), self.given.offers, self.board["border_wood"]
        if not pattern.woods:
            return
        laid = Laid(pattern, {wood: offer.rgb for wood, offer in offers.items()}, border)
        spent = _spent(self.now)
        for wood in sorted(pattern.woods, key=lambda one: -spent.get(one, Decimal(0)))[:_DEAREST]:
            others = {one for one in pattern.woods if one != wood}
            choices = sorted(
                (_worth(offer), name)
                for name, offer in offers.items()
                if name in others or (name != wood and _worth(offer) < _worth(offers[wood]))
            )
            seen = {name: laid.with_wood(wood, name) for _, name in choices}
            read = [name for name, one in seen.items() if one.legible]
            fewer = [name for name in read if name in others][:1]
            for name in dict.fromkeys([*read[:_EACH], *fewer]):
                kind = "fewer" if name in others else "wood"
                yield self._change(kind, {}, {wood: name}, edges=seen[name].scores.legibility)
        cheaper = sorted((_worth(one), name) for name, one in offers.items() if _worth(one) < _worth(offers[border]))
        before = {name: laid.before(name) for _, name in cheaper}
        for name in [name for name, one in before.items() if one.legible][:_EACH]:
            yield self._change("border", {"border_wood": name}, edges=before[name].scores.legibility)

    def _change(
        self,
        kind: str,
        asked: Mapping,
        swaps: Mapping[str, str] | None = None,
        *,
        made: Reckoning | None = None,
        edges: float | None = None,
    ) -> Change | None:
        """None where it is refused, weaker than the maker lets it be, or no cheaper."""
        board = {**self.board, **asked}
        if made is None:
            self.tried += 1
            try:
                made = plans.reckoned(otherwoods.drawing_in(self.version, swaps or {}), board, self.given)
            except PlannerError:
                return None
        price, before = made.asking.price, self.now.asking.price
        if price is None or before is None or self._is_too_weak(made):
            return None
        if Fraction(before - price) < Fraction(before) * LEAST_SAVED or price == before:
            return None
        size, seam, now = _size(made, board), _seam(made), _seam(self.now)
        told = {warning.words for warning in self.now.build.warnings}
        return Change(
            kind,
            board,
            price,
            before - price,
            next(iter((swaps or {}).items()), ("", "")),
            size if size != _size(self.now, self.board) else None,
            seam if seam is not None and (now is None or seam < now) else None,
            edges,
            _paid_out(made) if board["quantity"] != self.board["quantity"] else None,
            tuple(one.words for one in made.build.warnings if one.words not in told),
        )

    def _is_too_weak(self, made: Reckoning) -> bool:
        seam, now = _seam(made), _seam(self.now)
        least = self.shop.least_carried
        return seam is not None and seam < least and (now is None or seam < now)


def _same(change: Change) -> tuple:
    """What two changes have in common of which one is enough: to have two woods in one, either may be the one."""
    if change.kind == "fewer":
        return "fewer", *sorted(change.laid)
    board = change.board
    return change.kind, board["quantity"], board["method"], board["along"], change.laid, board["border_wood"]


def _row(copies: int, made: Reckoning) -> CopiesRow:
    asking, hours = made.asking, made.figures["hours"].value
    cost = made.figures["cost"].value
    assert isinstance(cost, Decimal) and isinstance(hours, Fraction)
    profit = None if asking.settlement is None else asking.settlement.profit * copies
    return CopiesRow(copies, cost, asking.price, profit, asking.hour_earns, hours / copies, asking.no_price)


def _size(made: Reckoning, board: Mapping) -> tuple[Length, Length]:
    """As it hangs."""
    long, across = made.build.finished_length, made.build.finished_height
    return (across, long) if board.get("along", "rows") == "columns" else (long, across)


def _seam(made: Reckoning) -> Fraction | None:
    """The share of the board its weakest seam carries; None where every joint is along the grain."""
    return None if made.build.weakest is None else made.build.weakest.share


def _spent(made: Reckoning) -> dict[str, Decimal]:
    """What each wood costs, by its id."""
    terms = made.figures["cost_all"].terms
    found = {}
    for line, term in zip(made.woods, terms, strict=False):
        assert isinstance(term.figure.value, Decimal)
        found[line.offer.wood] = term.figure.value
    return found


def _paid_out(made: Reckoning) -> Decimal:
    """For all boards together: everything but labour."""
    figure = made.figures["cost_all"]
    labour = next(term.figure.value for term in reversed(figure.terms) if term.name == "Labour")
    assert isinstance(figure.value, Decimal) and isinstance(labour, Decimal)
    return figure.value - labour


def _worth(offer: WoodOffer) -> Fraction:
    """The price of a cubic metre, whichever unit it is sold by."""
    price = Fraction(offer.price)
    return price * board_feet(Fraction(10**9)) if offer.per == "bf" else price


def _on_scale(length: Length, scale: Length) -> Length:
    """Down to what the saw's scale is read to."""
    return scale * (length.mm // scale.mm) if scale > ZERO else length
