"""From a kept reckoning, the shop and its rack to a cut job in whole units, and the words back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from hashlib import sha256
from typing import Any

from planner.cutting.fromshop.checks import check_all, names_of
from planner.cutting.fromshop.parts import Cut, cuts_in
from planner.cutting.fromshop.pieces import MONEY, WORTH_AREA, Piece, Wishes, named, stock_board
from planner.cutting.fromshop.units import planned_kerf, unit_for, unit_text, units_down, units_up
from planner.cutting.plan import CutFile, CutJob, CutPlan, CutPlanError, Offcut, Part, Rules, to_json
from planner.cutting.plan.worth import settle
from planner.measures import Length
from planner.shop import Shop

MONEY_TEXT = "1/10000 of the shop's currency"


def cut_job(
    record: Mapping[str, Any],
    shop: Shop,
    pieces: Sequence[Piece],
    wishes: Wishes | None = None,
    *,
    exponent: int = 2,
) -> CutFile:
    """The job of cutting all a kept reckoning's parts, spares included, from ``pieces`` that are free.

    ``record`` is a reckoning's (``planner.record``): every size and how much wider strips are ripped is taken from
    it, for the board was drawn with them; kerfs, trims, limits and spares are the ``shop``'s as it is now.
    ``exponent`` are the currency's decimals. The file's unit holds parts, kerfs and steps exactly, or is about a
    hundredth of a millimetre with parts rounded up (``unit_for``). Raises CutPlanError for what this shop cannot cut
    from these pieces.
    """
    wishes = wishes or Wishes()
    cuts = cuts_in(record, shop, wishes)
    shelf = named(pieces, wishes)
    check_all(cuts, shelf, shop, wishes, record)
    return job_of(cuts, shop, shelf, wishes, exponent=exponent)


def job_of(
    cuts: Sequence[Cut], shop: Shop, shelf: Sequence[Piece], wishes: Wishes | None = None, *, exponent: int = 2
) -> CutFile:
    """The job of cutting ``cuts`` from the pieces of their woods on the ``shelf``, unchecked."""
    wishes = wishes or Wishes()
    over = max(cut.over for cut in cuts)
    unit = _unit(cuts, over, shop)
    woods = {cut.wood for cut in cuts}
    stock = tuple(
        stock_board(
            piece,
            shop,
            unit,
            resaw=wishes.resaw,
            at_nothing=wishes.offcuts_first and piece.offcut,
            exponent=exponent,
        )
        for piece in shelf
        if piece.wood in woods
    )
    rules = rules_of(shop, unit, over)
    parts = tuple(_part(cut, unit, rules.crosscut_kerf, wishes.shades.get(cut.wood, "")) for cut in cuts)
    ways = tuple(sorted((wood, way) for wood, way in wishes.ways.items() if wood in woods))
    return CutFile(CutJob(parts, stock, rules, ways), None, unit_text(unit), MONEY_TEXT)


def _unit(cuts: Iterable[Cut], over: Length, shop: Shop) -> Length:
    """Steps and kerfs along a board first: a search adds them up by their common part, and a fine one is slow."""
    along: set[Length] = set()
    across = {over, shop.rip_kerf}
    for cut in cuts:
        along |= {*(cut.pieces or (cut.length,))}
        across |= {cut.width, cut.thickness}
    return unit_for((planned_kerf(shop.crosscut_kerf, shop.rough_step), shop.rough_step), along, across)


def rules_of(shop: Shop, unit: Length, over_width: Length) -> Rules:
    """How the shop cuts, in whole units: what is lost and what is least rounded up, what is most rounded down."""

    def up(length: Length) -> int:
        return units_up(length, unit)

    return Rules(
        crosscut_kerf=up(planned_kerf(shop.crosscut_kerf, shop.rough_step)),
        rip_kerf=up(shop.rip_kerf),
        end_trim=up(shop.check_trim),
        edge_trim=up(shop.rough_edge_trim / 2),
        snipe=up(shop.snipe),
        grip=up(shop.grip),
        longest_rip=units_down(shop.longest_rip, unit),
        grid=up(shop.rough_step),
        keep_length=up(shop.shortest_kept),
        keep_width=up(shop.narrowest_kept),
        worth_area=WORTH_AREA,
        over_width=up(over_width),
        shortest_rough=up(shop.shortest_machined),
        narrowest=up(shop.narrowest_strip),
        thinnest=up(shop.thinnest_planed),
    )


def _part(cut: Cut, unit: Length, kerf: int, shade: str) -> Part:
    pieces = tuple(units_up(piece, unit) for piece in cut.pieces)
    return Part(
        wood=cut.wood,
        width=units_up(cut.width, unit),
        thickness=units_up(cut.thickness, unit),
        length=sum(pieces) + kerf * (len(pieces) - 1) if pieces else units_up(cut.length, unit),
        count=cut.count + cut.spares,
        name=cut.name,
        shade=shade,
        bound=cut.bound,
        pieces=pieces,
    )


def same_job_hash(file: CutFile) -> str:
    """SHA-256 of the job in its JSON form, the plan left out: equal for two jobs that are one."""
    return sha256(to_json(replace(file, plan=None)).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Costs:
    """What a plan takes from the rack by the book: ``boards`` their worth, ``credit`` what goes back, ``cost`` what
    is left. ``searched`` is what the search went by: less, where offcuts were counted at nothing. ``offcuts`` are all
    that go back, those of pieces counted at nothing too."""

    boards: Decimal
    credit: Decimal
    cost: Decimal
    searched: Decimal
    offcuts: tuple[Offcut, ...]


def costs_of(
    plan: CutPlan, file: CutFile, pieces: Sequence[Piece], shop: Shop, wishes: Wishes, unit: Length, exponent: int = 2
) -> Costs:
    """The plan at the pieces' own worth, whatever it was searched with."""
    woods = {part.wood for part in file.job.parts}
    stock = {
        piece.mark: stock_board(piece, shop, unit, resaw=wishes.resaw, exponent=exponent)
        for piece in named(pieces, wishes)
        if piece.wood in woods
    }
    true = settle(plan.boards, stock, file.job.rules)
    return Costs(
        money_of(true.boards_cost), money_of(true.credit), money_of(true.cost), money_of(plan.cost), true.offcuts
    )


def money_of(units: int) -> Decimal:
    """Money units in the shop's currency, exact to four decimals."""
    return Decimal(units) / MONEY


def in_words(error: CutPlanError, record: Mapping[str, Any]) -> CutPlanError:
    """The error with woods by the maker's own names; lengths are in words already where ``plan_cuts`` was given
    ``says_in``."""
    names = {wood: name for wood, name in names_of(record).items() if wood != name}
    if not names:
        return error
    # A name that holds the wood's id ("American sycamore") is told already, and stays as it is.
    known = sorted({*names, *names.values()}, key=len, reverse=True)
    of = re.compile(rf"(?<![\w-])({'|'.join(map(re.escape, known))})(?![\w-])")
    what, mend = (of.sub(lambda match: names.get(match[1], match[1]), text) for text in (error.what, error.mend))
    return CutPlanError(what, mend=mend, field=error.field)
