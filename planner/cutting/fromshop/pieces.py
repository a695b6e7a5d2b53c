"""What lies on the rack, what the maker wishes, and both in the working unit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from planner.cutting.fromshop.units import units_down, units_up
from planner.cutting.plan import StockBoard
from planner.measures import ZERO, Length, round_half_up
from planner.shop import Shop

# One unit of money is so small a part of the shop's currency.
MONEY = 10**4
# Credits are for so many square units; the worth of a board's offcuts keeps five figures with it on any rack.
WORTH_AREA = 10**10


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of wood as it lies there. ``thickness`` is rough, or as it was surfaced; ``worth`` what it stands in the
    book for; ``bad`` are stretches (from, to) along it to be avoided, from the end the tape is hooked on."""

    mark: str
    wood: str
    thickness: Length
    width: Length
    length: Length
    surfaced: bool = False
    worth: Decimal = Decimal(0)
    shade: str = ""
    offcut: bool = False
    bad: tuple[tuple[Length, Length], ...] = ()


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a maker asks of one plan.

    ``ways`` are wood: "face", "edge" or "either" (see CutJob.ways); ``resaw`` lets thick boards be sawn into two
    layers where the shop does; ``offcuts_first`` counts offcuts at nothing while searching; ``pair_borders`` takes the
    left and the right side border of a row out of one strip; ``one_board`` are kinds of part that all come from one
    board of their wood; ``shades`` are wood: shade; ``leave_out`` are marks not to be used; ``bought`` boards that are
    not there yet, their ``worth`` what they would cost."""

    ways: Mapping[str, str] = field(default_factory=dict)
    resaw: bool = False
    offcuts_first: bool = False
    pair_borders: bool = False
    one_board: tuple[str, ...] = ()
    shades: Mapping[str, str] = field(default_factory=dict)
    leave_out: tuple[str, ...] = ()
    bought: tuple[Piece, ...] = ()


def yields_of(piece: Piece, shop: Shop) -> Length:
    """The greatest thickness milled from the piece: what is surfaced is flat already, rough loses the milling (as in
    ``planner.cutting.lumber_need`` and ``planner.shorts``). Nought or less where nothing is left."""
    return piece.thickness if piece.surfaced else piece.thickness - shop.milling


def layer_of(piece: Piece, shop: Shop) -> Length:
    """The thickness each of two layers yields when the piece is resawn, nought where it is not to be: not by this
    shop, too wide for the guide, or too thin to plane. Each layer is milled anew on both faces, surfaced stock too,
    for a layer moves once it is free (common practice, no source)."""
    if not shop.resaw or piece.width > shop.tallest_resaw:
        return ZERO
    layer = (piece.thickness - shop.resaw_kerf) / 2 - shop.milling
    return layer if layer >= shop.thinnest_planed else ZERO


def named(pieces: Sequence[Piece], wishes: Wishes) -> tuple[Piece, ...]:
    """The pieces that may be used, and after them those to buy, called "to buy 1", "to buy 2" and so on."""
    left = set(wishes.leave_out)
    there = [piece for piece in pieces if piece.mark not in left]
    return (*there, *(replace(piece, mark=f"to buy {n}") for n, piece in enumerate(wishes.bought, 1)))


def stock_board(
    piece: Piece, shop: Shop, unit: Length, *, resaw: bool = False, at_nothing: bool = False, exponent: int = 2
) -> StockBoard:
    """The piece in whole units, sizes rounded down and what is bad outward. ``at_nothing`` counts it, and what is left
    of it, as costing nothing; ``exponent`` are the currency's decimals, which a price to pay is rounded to."""
    width, length = units_down(piece.width, unit), units_down(piece.length, unit)
    worth = round_half_up(piece.worth, max(exponent, 4))
    cost = 0 if at_nothing else int(round_half_up(Fraction(worth) * MONEY, 0))
    area = max(width * length, 1)
    return StockBoard(
        name=piece.mark,
        wood=piece.wood,
        width=width,
        length=length,
        yields=max(units_down(yields_of(piece, shop), unit), 0),
        cost=cost,
        worth=int(cost * shop.offcut_share * WORTH_AREA // area),
        shade=piece.shade,
        resawn=units_down(layer_of(piece, shop), unit) if resaw else 0,
        bad=_bad(piece, unit, length),
        offcut=piece.offcut,
    )


def _bad(piece: Piece, unit: Length, length: int) -> tuple[tuple[int, int], ...]:
    """In order, within the board, those that touch made one."""
    found: list[tuple[int, int]] = []
    for begin, end in sorted(piece.bad, key=lambda stretch: stretch[0].mm):
        low, high = max(units_down(begin, unit), 0), min(units_up(end, unit), length)
        if low >= high:
            continue
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(high, found[-1][1]))
        else:
            found.append((low, high))
    return tuple(found)
