"""Which of the parts a plan cuts are those that are cut apart at last: told once the plan stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from planner.cutting.plan.marks import Bound
from planner.cutting.plan.terms import BoardCut, Part, StockBoard, StripCut


def with_pieces(
    cuts: Iterable[BoardCut], parts: tuple[Part, ...], shelf: dict[str, StockBoard], bound: Bound
) -> tuple[BoardCut, ...]:
    """The cuts with ``pieces`` told of every strip. On each board, parts bound to it are told first, then those that
    ask for its shade, so that the others are left what the marks of the plan left them."""
    if not any(part.pieces and part.count > 0 for part in parts):
        return tuple(cuts)
    wanted = {i: part.count for i, part in enumerate(parts) if part.count > 0}
    rank = {i: (not part.bound, not part.shade) for i, part in enumerate(parts)}

    def told(strip: StripCut, thickness: int, board: StockBoard) -> StripCut:
        pieces: dict[tuple[int, ...], int] = {}
        for length, count in strip.parts:
            able = [
                i
                for i, part in enumerate(parts)
                if wanted.get(i)
                and (part.width, part.thickness, part.length) == (strip.width, thickness, length)
                and (bound.get(part.bound) == board.name if part.bound else part.shade in ("", board.shade))
            ]
            for i in sorted(able, key=lambda i: rank[i]):
                take = min(count, wanted[i])
                wanted[i] -= take
                count -= take
                if take and parts[i].pieces:
                    pieces[parts[i].pieces] = pieces.get(parts[i].pieces, 0) + take
        return replace(strip, pieces=tuple(pieces.items()))

    return tuple(
        replace(
            cut,
            rough=tuple(
                replace(
                    rough,
                    strips=tuple(told(strip, rough.thickness, shelf[cut.board]) for strip in rough.strips),
                    under=tuple(told(strip, rough.thickness, shelf[cut.board]) for strip in rough.under),
                )
                for rough in cut.rough
            ),
        )
        for cut in cuts
    )
