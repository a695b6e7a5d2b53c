"""From a flat blank to a board handed over: cut to size, sanded with the grain raised, finished, cured, sent."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil

from planner.gluing.bench import OneBoard
from planner.gluing.glueups import Blank
from planner.gluing.shares import scaled, summed
from planner.gluing.steps import MINUTES_A_DAY
from planner.gluing.terms import TimetableError

# Wetting both faces takes this part of the minutes of sanding; the sanding before the grain is first raised takes two
# parts of three of the rest (common practice, no source).
WETTING, BEFORE_RAISING = Fraction(1, 20), Fraction(2, 3)


def finish_board(one: OneBoard, blank: Blank) -> list[str]:
    """Everything after flattening; gives the last step."""
    bench, board = one.bench, one.board
    size = one.in_lots(
        "size",
        "",
        "Cut to size and ease the edges",
        bench.minutes("size", {"sand_dm2": board.faces_dm2}),
        after=blank.flat,
        wait=blank.wait,
        first=("first end square to the field, measured from the datum seam",),
    )
    last = size[-1:] or blank.flat
    # Where cutting to size takes no minutes, details wait for the flattened blank as it would.
    if board.detail_minutes:
        minutes = bench.minutes("details", {"detail_min": board.detail_minutes})
        wait = 0 if size else blank.wait
        words = "Edges, handles and other details"
        last = one.in_lots("details", "", words, minutes, after=last, wait=wait, first=board.details)[-1:] or last
    last = _sanded(one, blank, last)
    last, cure = _finished(one, last)
    around = bench.around
    if around.photographs:
        minutes = (("photographs", Fraction(around.photographs)),)
        key = one.add("photo", "", "Photograph the board", minutes, after=last, wait=cure)
        last, cure = [key], 0
    if around.packing:
        minutes = (("packing", Fraction(around.packing)),)
        key = one.add("pack", "", "Pack the board", minutes, after=last, wait=cure)
        last, cure = [key], 0
    if around.carrier_days and not board.by_hand:
        hold = around.carrier_days * MINUTES_A_DAY
        key = one.add("carrier", "", "With the carrier", hold=hold, ends="it arrives", after=last, wait=cure)
        last, cure = [key], 0
    if cure and last:
        bench.draft.rest_of(last[-1], cure)
    return last


def _sanded(one: OneBoard, blank: Blank, before: Sequence[str]) -> list[str]:
    """Sanded, the grain raised in between; gives the last step."""
    bench, board = one.bench, one.board
    whole = bench.minutes("sand", {"sand_dm2": board.faces_dm2})
    times = bench.finish.raisings
    rounds, wetting = [Fraction(1)], min(WETTING, Fraction(1, 2 * times)) if times else Fraction(0)
    if times:
        left = 1 - wetting * times
        rounds = [left * BEFORE_RAISING] + [left * (1 - BEFORE_RAISING) / times] * times
    last, begun = list(before), False
    for n, share in enumerate(rounds, start=1):
        words = "Sand both faces" if n == 1 else "Sand off what was raised"
        sanded = one.in_lots(
            "sand",
            str(n),
            words,
            scaled(whole, share),
            after=last,
            writes=("grit reached",),
        )
        if sanded and not begun:
            begun = True
            for glued in blank.glued:
                bench.draft.after(glued, sanded[0], bench.adhesive.sanding)
        last = sanded[-1:] or last
        if n < len(rounds):
            raised = one.add(
                "raise",
                str(n),
                "Wet both faces to raise the grain",
                scaled(whole, wetting),
                hold=bench.finish.raised_dries,
                after=last,
                ends="dry",
            )
            last = [raised]
    return last


def _finished(one: OneBoard, before: Sequence[str]) -> tuple[list[str], int]:
    """The coats: the last wiping, and the minutes until the finish has cured."""
    bench, board, how = one.bench, one.board, one.bench.finish
    if not how.coats:
        return list(before), 0
    if how.wipe_within < how.soak or how.wipe_within // bench.draft.slot < bench.draft.up(how.soak):
        raise TimetableError(
            f"{how.name} soaks {how.soak} min and is wiped within {how.wipe_within}; reckoned in steps of "
            f"{bench.draft.slot} min there is no moment for it.",
            mend="Look at the sheet again, or allow a little more.",
            field="wipe_within",
        )
    faces = Fraction(board.faces_dm2, how.coats)
    laying, wiping = (bench.minutes(kind, {"oil_dm2": faces}) for kind in ("coat", "wipe"))
    lots = max(1, ceil(summed(laying) / bench.lot))
    last, wait = list(before), 0
    for coat in range(1, how.coats + 1):
        said = f"Coat {coat} of {how.coats}" if how.coats > 1 else "The finish"
        for lot in range(1, lots + 1):
            part = f", part {lot} of {lots}" if lots > 1 else ""
            name = f"{coat}/{lot}" if lots > 1 else str(coat)
            laid = one.add(
                "coat",
                name,
                f"{said}: lay it on{part}",
                scaled(laying, Fraction(1, lots)),
                hold=how.soak,
                uses=[bench.tools.bench_for("Finishing")],
                first=("dust off",),
                ends="soaked: wipe",
                after=last,
                wait=wait,
            )
            wiped = one.add(
                "wipe",
                name,
                f"{said}: wipe off and buff{part}",
                scaled(wiping, Fraction(1, lots)),
                after=[laid],
            )
            if wiping:
                _wiped_in_time(one, laid, wiped)
            last, wait = [wiped], 0
        wait = how.recoat
    return last, how.cure or 0


def _wiped_in_time(one: OneBoard, laid: str, wiped: str) -> None:
    how, draft = one.bench.finish, one.bench.draft
    if not draft.has_room_within(laid, wiped, how.wipe_within):
        raise TimetableError(
            f"{how.name} is wiped {how.soak} to {how.wipe_within} min after it was laid on, and no session is long "
            "enough for both.",
            mend="Plan a longer session.",
            field="sessions",
        )
    draft.within(laid, wiped, how.wipe_within)
