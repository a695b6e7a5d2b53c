"""The door to the planner for reserving: which free boards give parts of a record, and which of them to choose."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from planner.cutting.fromshop import Cut, Piece, Wishes, cuts_in, yields_of
from planner.cutting.fromshop.checks import across_of, clear_of, rough_for
from planner.measures import board_feet
from planner.shop import Shop
from shopapp.plans.cutting.planning import piece_of
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

# Sums that differ by less than this are taken for one while boards are put together.
_STEP = Fraction(1, 20)


def choose(
    record: Mapping, workshop: Workshop, needs: Mapping[str, Fraction], seen: Sequence[Mapping]
) -> dict[str, list[int]]:
    """By wood, the primary keys of the pieces to be reserved of those ``seen`` (plans.cutting.pieces.as_seen), for
    ``needs`` in board feet. Every part finds a board it can come out of, where there is one; beyond that the boards
    measure together as little more than is needed as can be, or are all that serve."""
    shop = shop_of(workshop)
    wants: dict[str, list[Cut]] = {}
    for cut in cuts_in(record, shop, Wishes()):
        wants.setdefault(cut.wood, []).append(cut)
    found = {}
    for wood, need in needs.items():
        pieces = {one["pk"]: piece_of(one) for one in seen if one["wood"] == wood}
        found[wood] = _of_a_wood(wants.get(wood, []), need, pieces, shop)
    return found


def _of_a_wood(cuts: Sequence[Cut], need: Fraction, pieces: Mapping[int, Piece], shop: Shop) -> list[int]:
    gives = {pk: {n for n, cut in enumerate(cuts) if _gives(piece, cut, shop)} for pk, piece in pieces.items()}
    feet = {pk: _feet(piece) for pk, piece in pieces.items() if gives[pk]}
    picked = _least_over(feet, need)
    for n in range(len(cuts)):
        able = [pk for pk in feet if n in gives[pk]]
        if able and not any(n in gives[pk] for pk in picked):
            picked.add(min(able, key=lambda pk: (feet[pk], pk)))
    for pk in sorted(picked, key=lambda pk: (-feet[pk], pk)):
        rest = picked - {pk}
        if sum((feet[one] for one in rest), Fraction(0)) >= need and _all_given(rest, picked, gives):
            picked = rest
    return sorted(picked)


def _all_given(rest: set[int], picked: set[int], gives: Mapping[int, set[int]]) -> bool:
    return set().union(*(gives[pk] for pk in rest)) == set().union(*(gives[pk] for pk in picked))


def _gives(piece: Piece, cut: Cut, shop: Shop) -> bool:
    """Whether one part of that size comes out of the piece, by the same measures as the cut plan asks."""
    return (
        yields_of(piece, shop) >= cut.thickness
        and across_of(piece, shop) >= cut.ripped
        and clear_of(piece, shop) >= rough_for(cut.length, shop)
    )


def _feet(piece: Piece) -> Fraction:
    return board_feet(piece.thickness.mm * piece.width.mm * piece.length.mm)


def _least_over(feet: Mapping[int, Fraction], need: Fraction) -> set[int]:
    """The pieces that together measure ``need`` or more, as little more as can be, of those the fewest; all of them
    where all do not come to it. What differs by less than a twentieth of a board foot is not told apart on the way."""
    if sum(feet.values(), Fraction(0)) <= need:
        return set(feet)
    best: tuple[Fraction, int, frozenset[int]] | None = None
    sums: dict[int, tuple[Fraction, frozenset[int]]] = {0: (Fraction(0), frozenset())}
    for pk in sorted(feet, key=lambda pk: (-feet[pk], pk)):
        for total, picked in list(sums.values()):
            over, with_it = total + feet[pk], picked | {pk}
            if over >= need:
                if best is None or (over, len(with_it)) < best[:2]:
                    best = (over, len(with_it), with_it)
                continue
            place = int(over / _STEP)
            if place not in sums or len(with_it) < len(sums[place][1]):
                sums[place] = (over, with_it)
    assert best is not None
    return set(best[2])
