"""From the board to milled rough lengths: crosscut, straighten, resaw, plane."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TypeVar

from planner.cutting.setups.bench import Bench, named
from planner.cutting.setups.limits import Barred, milling_barred, resawing_barred
from planner.cutting.setups.reading import Blank, CutBoard, CutStrip, Rough
from planner.cutting.setups.terms import Cut, Setting, SetUp
from planner.measures import ZERO

Named = TypeVar("Named", Blank, Rough, CutStrip)


def rough_steps(bench: Bench) -> list[SetUp]:
    """Board by board, the rough lengths marked out from the end the tape is hooked on and crosscut in that order."""
    return [_rough_step(board, bench) for board in bench.wood.boards]


def _rough_step(board: CutBoard, bench: Bench) -> SetUp:
    cuts = []
    for rough in board.rough:
        cuts.append(
            Cut(
                "offcut for the rack" if rough.kept else "rough length",
                board.board.name,
                rough.wood,
                1,
                bench.length(rough.length),
                bench.length(rough.width),
                ZERO,
                gives=(rough.name,),
                begins=bench.length(rough.at),
            )
        )
    blades = _kerfs(board, bench)
    notes = (
        "Hook the tape on one end and mark all places before the first cut: each mark is measured from that end, so "
        "that no error adds to the next.",
        f"The blade runs beside what is wanted, never in it: it takes {bench.says(bench.wood.rules.crosscut_kerf)} "
        "between the end of one length and the beginning of the next. Chalk the name on every length before it is "
        "parted.",
        "At every cut the longer piece is the one that is held.",
    )
    held = min((max(rough.length, board.board.length - rough.at - rough.length) for rough in board.rough), default=0)
    return bench.step("rough", cuts, blades, passes=blades, notes=notes, held=bench.length(held))


def _kerfs(board: CutBoard, bench: Bench) -> int:
    """Saw cuts along a board: one before the first rough length, one between two that touch, two where wood to be
    avoided lies between, one behind the last where something is left."""
    end = 0
    cuts = 0
    for i, rough in enumerate(board.rough):
        gap = rough.at - end
        cuts += 1 if gap and (not i or gap <= bench.wood.rules.crosscut_kerf) else 2 if gap else 0
        end = rough.at + rough.length
    return cuts + (end < board.board.length)


def joint_steps(bench: Bench) -> list[SetUp]:
    """A flat face and a straight edge on every rough length that is ripped."""
    roughs = [rough for rough in bench.wood.rough if not rough.kept]
    edge = bench.says(bench.wood.rules.edge_trim)
    notes = (
        "One face flat, then one edge square to it; the edge is the one that meets the fence.",
        f"The plan reckons with {edge} off that edge; where it takes more to come straight, plan anew before ripping.",
    )
    first = {rough.name: rough.blanks[0] for rough in roughs}
    strips = {rough.name: sum(len(blank.strips) for blank in rough.blanks) for rough in roughs}

    def step(blanks: Sequence[Blank], instead: str) -> SetUp:
        cuts = [bench.of_blank(blank, "rough length") for blank in blanks]
        count = sum(strips[blank.name] for blank in blanks)
        least = min(bench.length(blank.length) for blank in blanks)
        return bench.step("joint", cuts, count, notes=notes, instead=instead, held=least)

    return parted(list(first.values()), lambda blank: milling_barred(blank, bench), step)


def resaw_steps(bench: Bench) -> list[SetUp]:
    """Rough lengths that give two layers, one set-up for each thickness."""
    roughs = [rough for rough in bench.wood.rough if rough.resawn]
    steps: list[SetUp] = []
    for thickness in sorted({rough.blanks[0].thickness for rough in roughs}, reverse=True):
        same = [rough for rough in roughs if rough.blanks[0].thickness == thickness]
        steps += parted(same, lambda rough: resawing_barred(rough, bench), partial(_resaw_step, bench, thickness))
    return steps


def _resaw_step(bench: Bench, thickness: int, roughs: Sequence[Rough], instead: str) -> SetUp:
    exact = bench.length(thickness)
    notes = (
        "Fence at half of what the flattened length measures, less half the kerf, so that both layers are equally "
        f"thick; each has to keep more than {bench.shop.says(exact)}, for both its faces are planed after.",
        "Lay the layers on stickers for a few days where there is time: a layer moves once it is free.",
    )
    cuts = [
        bench.of_blank(rough.blanks[0], "two layers", tuple(blank.name for blank in rough.blanks)) for rough in roughs
    ]
    least = min(bench.length(rough.length) for rough in roughs)
    setting = Setting("fence at least", exact, exact)
    return bench.step("resaw", cuts, len(cuts), settings=(setting,), notes=notes, instead=instead, held=least)


def plane_steps(bench: Bench) -> list[SetUp]:
    """All woods of one thickness at one setting, the thickest first: the table comes up and never back."""
    steps: list[SetUp] = []
    before = None
    for thickness in sorted({blank.thickness for blank in bench.wood.blanks}, reverse=True):
        exact = bench.length(thickness)
        setting = Setting("thickness", exact, exact, travel=before - exact if before is not None else ZERO)
        before = exact
        same = [blank for blank in bench.wood.blanks if blank.thickness == thickness]
        steps += parted(same, lambda blank: milling_barred(blank, bench), partial(_plane_step, bench, setting))
    return steps


def _plane_step(bench: Bench, setting: Setting, blanks: Sequence[Blank], instead: str) -> SetUp:
    notes = (
        "Every piece is brought near in light passes, from both faces by turns; then all of them, whatever the wood, "
        f"take the last pass at one setting, {bench.shop.says(setting.exact)}.",
        "What was much thicker rests before its last pass.",
    )
    cuts = [bench.of_blank(blank, "rough length" if blank.name == blank.rough else "layer") for blank in blanks]
    count = sum(len(blank.strips) for blank in blanks)
    least = min(bench.length(blank.length) for blank in blanks)
    return bench.step("plane", cuts, count, settings=(setting,), notes=notes, instead=instead, held=least)


def parted(
    pieces: Sequence[Named], barred: Callable[[Named], Barred | None], step: Callable[[Sequence[Named], str], SetUp]
) -> list[SetUp]:
    """One set-up for the pieces the machine takes, and one for each reason others are kept from it."""
    taken: list[Named] = []
    kept: dict[Barred, list[Named]] = {}
    for piece in pieces:
        reason = barred(piece)
        if reason is None:
            taken.append(piece)
        else:
            kept.setdefault(reason, []).append(piece)
    steps = [step(taken, "")] if taken else []
    return steps + [step(some, reason.words(named([one.name for one in some]))) for reason, some in kept.items()]
