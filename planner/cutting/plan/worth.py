"""What fits and what it is worth: the planner's own sums, in whole units of length and money.

The checker (``planner.cutting.plan.checker``) reckons the same things its own way and shares nothing with this.
"""

from __future__ import annotations

from collections.abc import Iterable

from planner.cutting.plan.terms import BoardCut, CutPlan, Offcut, Rules, StockBoard, StripCut


def usable(board: StockBoard, rules: Rules) -> tuple[int, int]:
    """(width, length) in units once edges and ends are trimmed; nought or less where nothing is left."""
    return board.width - 2 * rules.edge_trim, board.length - 2 * rules.end_trim


def strip_head(rules: Rules) -> int:
    """Units lost at the front of a strip before its first part: the snipe and the cut that takes it off."""
    return rules.snipe + rules.crosscut_kerf if rules.snipe else 0


def strip_room(length: int, rules: Rules) -> int:
    """How much of a strip ``length`` units long its parts may take, each with one kerf behind it. Where nothing has
    to stay at the end, the last part needs no cut behind it, so its kerf may lie beyond the end."""
    held = max(rules.grip, rules.snipe)
    return length - strip_head(rules) - held if held else length + rules.crosscut_kerf


def slot(length: int, rules: Rules) -> int:
    """Units a part ``length`` long takes of a strip: itself, left long for gauging, and the kerf behind it."""
    return length + rules.over_length + rules.crosscut_kerf


def strip_slot(width: int, rules: Rules) -> int:
    """Units a strip for parts ``width`` wide takes of a rough length's width, with the kerf beside it."""
    return width + rules.over_width + rules.rip_kerf


def layer_worth(worth: int) -> int:
    """What an offcut of one of two layers is worth for an area a whole one is worth ``worth`` for: half, rounded down,
    whatever the layers measure."""
    return worth // 2


def credit(width: int, length: int, worth: int, rules: Rules) -> int:
    """Money units an offcut is worth: nothing where it is shorter than what is kept; rounded down for each piece."""
    if length < rules.keep_length or length <= 0 or width <= 0:
        return 0
    return width * length * worth // rules.worth_area


def strip_used(strip: StripCut, rules: Rules) -> int:
    """Units of a strip its parts take, each with its kerf."""
    beside, used = rules.over_length + rules.crosscut_kerf, 0
    for length, count in strip.parts:
        used += (length + beside) * count
    return used


def offcuts_of(cut: BoardCut, board: StockBoard, rules: Rules) -> list[Offcut]:
    """The pieces of one board that are worth keeping, in the order they come off it."""
    across, _ = usable(board, rules)
    wide, long, whole = max(rules.keep_width, 1), max(rules.keep_length, 1), board.worth
    kept: list[Offcut] = []
    for i, rough in enumerate(cut.rough):
        rate = layer_worth(whole) if rough.resawn else whole
        layers = (rough.strips, rough.under) if rough.resawn else (rough.strips,)
        for strips in layers:
            if strips:
                found = _beside_and_behind(strips, rough.length, across, rules)
            elif across >= rules.keep_width:
                found = [("layer" if rough.resawn else "end", across, rough.length)]
            else:
                continue
            for kind, width, length in found:
                # What is shorter is worth nothing, and most tails are.
                if length >= long:
                    worth = credit(width, length, rate, rules)
                    # Worth nothing by the maker's rule, a piece large enough still goes back.
                    if worth or width >= wide:
                        kept.append(Offcut(cut.board, i, kind, width, length, worth))
    return kept


def _beside_and_behind(
    strips: tuple[StripCut, ...], length: int, across: int, rules: Rules
) -> list[tuple[str, int, int]]:
    """What a layer that is ripped leaves: the edge, and the tail of every strip."""
    over, beside = rules.over_width, across
    behind = length - strip_head(rules)
    tails = []
    for strip in strips:
        beside -= strip.width + over + rules.rip_kerf
        tails.append(("tail", strip.width + over, behind - strip_used(strip, rules)))
    return [("edge", beside, length), *tails] if beside >= rules.keep_width else tails


def settle(cuts: Iterable[BoardCut], stock: dict[str, StockBoard], rules: Rules) -> CutPlan:
    """The plan these boards make, with its offcuts and its cost in money units, summed anew from the cuts."""
    boards = tuple(cuts)
    offcuts = tuple(piece for cut in boards for piece in offcuts_of(cut, stock[cut.board], rules))
    spent = sum(stock[cut.board].cost for cut in boards)
    return CutPlan(boards, offcuts, spent, sum(piece.credit for piece in offcuts))
