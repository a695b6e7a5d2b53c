"""Which parts of a board have their place in the pieces, which pieces those are, and what is lacking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from planner.measures import Length
from planner.shop import Shop
from planner.shorts.laying import Laid, Room, area_of, best_laying, out_of_reach, unrolled
from planner.shorts.shelf import NO_SHELF, Shelf
from planner.shorts.wanted import Wanted, WoodWanted
from planner.shorts.whole import Marks, Whole, up


@dataclass(frozen=True, slots=True)
class Cut:
    """``count`` strips alike of one piece: their ripped width, and (crosscut length, parts) in each."""

    width: Length
    cuts: tuple[tuple[Length, int], ...]
    count: int


@dataclass(frozen=True, slots=True)
class Taken:
    """A rough length out of a piece, which is named by the caller's key, and the strips that come out of it. It is the
    whole piece unless that is longer than the shop rips."""

    key: int
    length: Length
    strips: tuple[Cut, ...]


@dataclass(frozen=True, slots=True)
class Lack:
    """``count`` parts, spares not among them, for which no piece is left; and the smallest rough piece that gives one
    of them: as long, wide and thick as trims, grip and milling ask."""

    part: Wanted
    count: int
    length: Length
    width: Length
    thickness: Length


@dataclass(frozen=True, slots=True)
class WoodMade:
    """One wood of a board: its parts, the pieces to take for them, and what is lacking.

    ``spared`` says whether the spares come out of these pieces as well. ``share`` of the strips' area that has its
    place. Of ``pieces`` on the shelf ``too_short`` are shorter than the shop feeds to a machine, ``too_thin`` and
    ``too_narrow`` do not give this board's strips. ``refused`` is a sentence where the shop's limits forbid the strips
    themselves."""

    wood: str
    parts: tuple[Wanted, ...]
    taken: tuple[Taken, ...]
    lacks: tuple[Lack, ...]
    spared: bool
    share: Fraction
    pieces: int
    too_short: int
    too_thin: int
    too_narrow: int
    refused: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    woods: tuple[WoodMade, ...]

    @property
    def can_be_made(self) -> bool:
        return not any(wood.lacks for wood in self.woods)

    @property
    def spared(self) -> bool:
        return all(wood.spared for wood in self.woods)

    @property
    def share(self) -> Fraction:
        """Of the wood that lacks most: a board waits for its last wood."""
        return min((wood.share for wood in self.woods), default=Fraction(1))


def make_from(wanted: Sequence[WoodWanted], there: Mapping[str, Shelf], shop: Shop) -> Made:
    """What the pieces on the shelves give of the parts that are wanted, wood by wood.

    The board is taken alone: two boards may be offered the same piece. Raises nothing; what the shop's limits forbid
    is lacking, and ``refused`` says why.
    """
    return Made(tuple(_wood_made(wood, there.get(wood.wood, NO_SHELF), shop) for wood in wanted))


def _wood_made(wanted: WoodWanted, shelf: Shelf, shop: Shop) -> WoodMade:
    parts, kerf = wanted.parts, up(shop.rip_kerf)
    across = shelf.width - up(shop.rough_edge_trim)
    thick = thick_enough(shelf, parts[0].thickness, shop)
    fit = thick & (across >= min(line.width for line in wanted.bare))
    if refused := _refusal(parts, shop):
        fit = np.zeros(len(shelf.keys), dtype=np.bool_)
    room = Room(shelf.rough[fit] - up(shop.rough_end_trim * 2 + shop.grip), across[fit])
    spared = not out_of_reach(wanted.with_spares, room)
    if spared:
        laid = best_laying(wanted.with_spares, room, kerf)
        spared = not laid.lacking
    if not spared:
        laid = best_laying(wanted.bare, room, kerf)
    whole = area_of(wanted.bare, dict(enumerate(part.count for part in parts)), kerf)
    missing = area_of(wanted.bare, laid.lacking, kerf)
    thick_pieces = int(np.count_nonzero(thick & shelf.first))
    return WoodMade(
        wanted.wood,
        parts,
        _taken(laid, parts, shelf.keys[fit], shelf.rough[fit]),
        tuple(_lack(parts[n], count, shop) for n, count in sorted(laid.lacking.items())),
        spared,
        1 - Fraction(missing, whole),
        shelf.pieces,
        shelf.too_short,
        shelf.pieces - shelf.too_short - thick_pieces,
        thick_pieces - int(np.count_nonzero(fit & shelf.first)),
        refused,
    )


def thick_enough(shelf: Shelf, milled: Length, shop: Shop) -> Marks:
    """Surfaced stock is planed to the milled thickness or is it already; rough stock loses the milling besides. Thinner
    than the shop planes, only what is surfaced to the very size will do."""
    bare = up(milled)
    enough: Marks
    if milled < shop.thinnest_planed:
        enough = shelf.surfaced & (shelf.thickness == bare)
    else:
        enough = (shelf.thickness >= up(milled + shop.milling)) | (shelf.surfaced & (shelf.thickness >= bare))
    return enough


def _refusal(parts: Sequence[Wanted], shop: Shop) -> str:
    narrowest = min(part.width for part in parts)
    if narrowest < shop.narrowest_strip:
        return (
            f"A strip {shop.says(narrowest)} wide is narrower than the {shop.says(shop.narrowest_strip)} this shop "
            "rips; it could not be held safely."
        )
    return ""


def _taken(laid: Laid, parts: Sequence[Wanted], keys: Whole, rough: Whole) -> tuple[Taken, ...]:
    """Every rough length that is used with its strips, written out, alike ones once."""
    found: dict[int, list[Cut]] = {}
    for strips in laid.strips:
        cuts = found.setdefault(strips.place, [])
        for inside in unrolled(strips):
            lengths = tuple((parts[n].length, count) for n, count in sorted(inside.items()))
            width = parts[next(iter(inside))].width
            if cuts and (cuts[-1].width, cuts[-1].cuts) == (width, lengths):
                cuts[-1] = Cut(width, lengths, cuts[-1].count + 1)
            else:
                cuts.append(Cut(width, lengths, 1))
    return tuple(
        Taken(int(keys[place]), Length.from_nm(int(rough[place])), tuple(cuts)) for place, cuts in found.items()
    )


def _lack(part: Wanted, count: int, shop: Shop) -> Lack:
    long = part.length + shop.crosscut_kerf + shop.rough_end_trim * 2 + shop.grip
    return Lack(
        part,
        count,
        max(long, shop.shortest_machined),
        part.width + shop.rough_edge_trim,
        part.thickness + shop.milling,
    )
