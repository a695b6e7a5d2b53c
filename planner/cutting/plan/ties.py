"""Of two plans that cost the same, the one with fewer boards is better, then the one with fewer settings.

A setting is a stop or a fence moved: each length boards are crosscut to, each width ripped at each thickness, each way
a strip is crosscut into its parts. ``settle_ties`` makes settings alike where that costs nothing.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import replace

from planner.cutting.plan.clear import clear_stretches
from planner.cutting.plan.cuts import laid_out
from planner.cutting.plan.terms import BoardCut, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.worth import offcuts_of, settle, slot, strip_room, strip_used

Shelf = dict[str, StockBoard]
_Cuts = tuple[BoardCut, ...]
# Rank of a plan: cost in money units, boards, settings. Less is better.
Rank = tuple[int, int, int]
# Where a strip is: board, rough length, layer, strip.
_Place = tuple[int, int, int, int]


def settings_of(cuts: Iterable[BoardCut]) -> int:
    """How many settings the cuts take, each counted once however often it is used."""
    found: set[tuple[object, ...]] = set()
    for cut in cuts:
        for rough in cut.rough:
            if not rough.strips:
                continue
            found.add(("length", rough.length))
            for strip in (*rough.strips, *rough.under):
                found.add(("fence", rough.thickness, strip.width))
                if strip.parts:
                    found.add(("stops", rough.thickness, strip.width, tuple(sorted(strip.parts))))
    return len(found)


def rank_of(cuts: _Cuts, shelf: Shelf, rules: Rules) -> Rank:
    return settle(cuts, shelf, rules).cost, len(cuts), settings_of(cuts)


def settle_ties(cuts: _Cuts, shelf: Shelf, rules: Rules, apart: bool) -> _Cuts:
    """The same parts from the same boards for no more, with as few settings as making them alike step by step gives.
    ``apart`` keeps every part on its board, for where not every board will do for it."""
    made = _equal_strips(_equal_lengths(cuts, shelf, rules), shelf, rules, apart)
    return _without_emptied_strips(made, shelf, rules)


def _without_emptied_strips(cuts: _Cuts, shelf: Shelf, rules: Rules) -> _Cuts:
    """Strips whose parts were all dealt to others are not ripped, unless they are worth more by themselves."""

    def filled(strips: tuple[StripCut, ...]) -> tuple[StripCut, ...]:
        return tuple(strip for strip in strips if strip.parts) or strips

    made = list(cuts)
    for i, cut in enumerate(cuts):
        rough = tuple(replace(one, strips=filled(one.strips), under=filled(one.under)) for one in cut.rough)
        other = replace(cut, rough=rough)
        if other != cut and _credit(other, shelf, rules) >= _credit(cut, shelf, rules):
            made[i] = other
    return tuple(made)


# Rough lengths


def _equal_lengths(cuts: _Cuts, shelf: Shelf, rules: Rules) -> _Cuts:
    """All rough lengths of one length made as long as others are, the rarest first, where there is room for it and it
    costs nothing."""
    made = cuts
    alike = Counter(one.length for cut in cuts for one in cut.rough if one.strips)
    for length in sorted(alike, key=lambda one: (alike[one], one)):
        # The commonest of the longer ones first; of equally common ones the shorter.
        for longer in sorted((one for one in alike if one > length), key=lambda one: (-alike[one], one)):
            other = _all_lengthened(made, length, longer, shelf, rules)
            if other is not None:
                made = other
                alike[longer] += alike.pop(length)
                break
    return made


def _all_lengthened(cuts: _Cuts, length: int, longer: int, shelf: Shelf, rules: Rules) -> _Cuts | None:
    made = list(cuts)
    for i, cut in enumerate(cuts):
        if all(one.length != length or not one.strips for one in cut.rough):
            continue
        other = _lengthened(cut, length, longer, shelf, rules)
        if other is None or _credit(other, shelf, rules) < _credit(cut, shelf, rules):
            return None
        made[i] = other
    return tuple(made)


def _credit(cut: BoardCut, shelf: Shelf, rules: Rules) -> int:
    return sum(piece.credit for piece in offcuts_of(cut, shelf[cut.board], rules))


def _lengthened(cut: BoardCut, length: int, longer: int, shelf: Shelf, rules: Rules) -> BoardCut | None:
    """The cut with its rough lengths of ``length`` made ``longer``; None where a clear stretch has no room."""
    board = shelf[cut.board]
    stretches = clear_stretches(board, rules)
    placed: list[tuple[int, RoughCut]] = []
    for one in cut.rough:
        if one.strips:
            at = next(i for i, (_, end) in enumerate(stretches) if one.at < end)
            placed.append((at, replace(one, length=longer) if one.length == length else one))
    for i, (begin, end) in enumerate(stretches):
        mine = [one.length for at, one in placed if at == i]
        if sum(mine) + max(len(mine) - 1, 0) * rules.crosscut_kerf > end - begin:
            return None
    return laid_out(cut.board, placed, board, rules)


# Strips


def _equal_strips(cuts: _Cuts, shelf: Shelf, rules: Rules, apart: bool) -> _Cuts:
    """Strips of one width and length with their parts dealt out evenly, then longest first, one lot after the other."""
    lots: dict[tuple[object, ...], list[_Place]] = defaultdict(list)
    for i, cut in enumerate(cuts):
        for j, rough in enumerate(cut.rough):
            for layer, side in enumerate((rough.strips, rough.under)):
                for k, strip in enumerate(side):
                    key = (strip.width, rough.thickness, rough.length, shelf[cut.board].worth, apart and cut.board)
                    lots[key].append((i, j, layer, k))
    made, rank = cuts, rank_of(cuts, shelf, rules)
    for places in lots.values():
        if len(places) < 2:
            continue
        strips = [_strip_at(made, place) for place in places]
        if any(strip.pieces for strip in strips):
            continue
        room = strip_room(made[places[0][0]].rough[places[0][1]].length, rules)
        for dealt in (_evenly(strips, room, rules), _in_turn(strips, room, rules)):
            if dealt is None:
                continue
            other = _with_strips(made, dict(zip(places, dealt, strict=True)))
            if rank_of(other, shelf, rules) < rank:
                made, rank = other, rank_of(other, shelf, rules)
    return made


def _strip_at(cuts: _Cuts, place: _Place) -> StripCut:
    i, j, layer, k = place
    rough = cuts[i].rough[j]
    return (rough.under if layer else rough.strips)[k]


def _with_strips(cuts: _Cuts, strips: dict[_Place, StripCut]) -> _Cuts:
    def layer_of(i: int, j: int, layer: int, old: tuple[StripCut, ...]) -> tuple[StripCut, ...]:
        return tuple(strips.get((i, j, layer, k), strip) for k, strip in enumerate(old))

    return tuple(
        replace(
            cut,
            rough=tuple(
                replace(one, strips=layer_of(i, j, 0, one.strips), under=layer_of(i, j, 1, one.under))
                for j, one in enumerate(cut.rough)
            ),
        )
        for i, cut in enumerate(cuts)
    )


def _pooled(strips: list[StripCut]) -> dict[int, int]:
    """All the parts of the strips, longest first."""
    pool: Counter[int] = Counter()
    for strip in strips:
        pool.update(dict(strip.parts))
    return dict(sorted(pool.items(), reverse=True))


def _evenly(strips: list[StripCut], room: int, rules: Rules) -> list[StripCut] | None:
    """As many of each length in every strip as there are for all, the others longest first; None where one is left."""
    left = _pooled(strips)
    share = {length: count // len(strips) for length, count in left.items() if count >= len(strips)}
    filled: list[dict[int, int]] = [dict(share) for _ in strips]
    if sum(slot(length, rules) * count for length, count in share.items()) > room:
        return None
    for length, count in left.items():
        left[length] = count - share.get(length, 0) * len(strips)
    return _fill(strips[0].width, filled, left, room, rules)


def _in_turn(strips: list[StripCut], room: int, rules: Rules) -> list[StripCut] | None:
    """Each strip filled with the longest that still fit before the next one; None where a part is left over."""
    return _fill(strips[0].width, [{} for _ in strips], _pooled(strips), room, rules)


def _fill(
    width: int, filled: list[dict[int, int]], left: dict[int, int], room: int, rules: Rules
) -> list[StripCut] | None:
    made = []
    for parts in filled:
        free = room - strip_used(StripCut(width, tuple(parts.items())), rules)
        for length, count in left.items():
            more = min(count, free // slot(length, rules))
            if more:
                parts[length] = parts.get(length, 0) + more
                left[length] -= more
                free -= more * slot(length, rules)
        made.append(StripCut(width, tuple(sorted(parts.items(), reverse=True))))
    return None if any(left.values()) else made
