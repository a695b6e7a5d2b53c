"""The stretches of a board that rough lengths may come out of: between the end trims, clear of what is bad."""

from __future__ import annotations

from dataclasses import replace

from planner.cutting.plan.terms import BoardCut, Rules, StockBoard


def clear_stretches(board: StockBoard, rules: Rules) -> tuple[tuple[int, int], ...]:
    """(from, to) in units from the end the tape is hooked on, in order; none where the trims leave nothing.

    The cuts that free a clear stretch lie in the bad wood beside it, so a bad stretch counts at least as wide as the
    crosscut kerf, from where it begins; one that lies within the end trim counts for nothing.
    """
    at, end = rules.end_trim, board.length - rules.end_trim
    found = []
    for begins, ends in sorted(board.bad):
        if ends <= rules.end_trim:
            continue
        if begins > at:
            found.append((at, min(begins, end)))
        at = max(at, ends, begins + rules.crosscut_kerf)
    if at < end:
        found.append((at, end))
    return tuple(stretch for stretch in found if stretch[0] < stretch[1])


def longest_clear(board: StockBoard, rules: Rules) -> int:
    """Units of the longest clear stretch, 0 where there is none."""
    return max((end - begin for begin, end in clear_stretches(board, rules)), default=0)


def end_to_end(cut: BoardCut, rules: Rules) -> BoardCut:
    """The cut with its rough lengths one behind the other from the end trim, a kerf between each two."""
    at = rules.end_trim
    rough = []
    for one in cut.rough:
        rough.append(replace(one, at=at))
        at += one.length + rules.crosscut_kerf
    return replace(cut, rough=tuple(rough))
