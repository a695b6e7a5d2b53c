"""From buying wood to pieces sorted and laid dry: the stages of the making before any glue."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from planner.gluing.bench import OneBoard, listed
from planner.gluing.glueboard import GlueRow
from planner.gluing.loading import lots_of
from planner.gluing.shares import scaled, summed, together
from planner.gluing.steps import MINUTES_A_DAY

# A row of one of the copies, which count from 1.
Item = tuple[int, GlueRow]


@dataclass(frozen=True, slots=True)
class Laid:
    """What a row waits for, by copy and row number, and what borders wait for."""

    rows: Mapping[tuple[int, int], str]
    last_cut: str


def strips(one: OneBoard) -> list[str]:
    """The wood of all copies of a board bought, milled, ripped and gauged; gives what the next step waits for."""
    bench, board = one.bench, one.board
    around = bench.around
    settled: list[str] = []
    if not around.in_hand:
        for kind, words, days, ends in (
            ("wood", "Wood on its way", around.buying_days, "the wood is here"),
            ("settle", "Wood settles in the shop", around.settling_days, "it has settled"),
        ):
            if days:
                hold = days * MINUTES_A_DAY
                settled = [one.add(kind, "", words, hold=hold, after=settled, ends=ends)]
    ready = one.in_lots(
        "ready",
        "",
        "Get ready: drawings, wood, saw and sled",
        bench.minutes("ready", {"setup_job": 1}),
        after=(),
    )
    rough = one.in_lots(
        "rough",
        "",
        "Crosscut to rough lengths and mill them oversize",
        bench.minutes("rough", {"rip_strip": board.strips}),
        after=[*settled, *ready[-1:]],
    )
    rest = around.rest_days * MINUTES_A_DAY
    ripped = one.in_lots(
        "rip",
        "",
        "Mill to final thickness and rip strips",
        bench.minutes("rip", {"rip_strip": board.strips}),
        after=rough[-1:] or [*settled, *ready[-1:]],
        wait=rest if rough else 0,
    )
    # All woods are brought to one size at one setting, so every strip is there first.
    gauged = one.in_lots(
        "gauge",
        "",
        "Gauge all strips at one setting",
        bench.minutes("gauge", {"rip_strip": board.strips}),
        after=ripped[-1:],
        writes=("grain mark on every strip",),
    )
    return (gauged or ripped or rough)[-1:] or [*settled, *ready[-1:]]


def lay_pieces(one: OneBoard, before: list[str]) -> Laid:
    """The pieces of all copies crosscut, sorted and laid dry: lots of neighbouring rows, each with its share of the
    cuts and of the stop's settings; borders with the last."""
    bench, board = one.bench, one.board
    items: list[Item] = [(copy, row) for copy in range(1, board.copies + 1) for row in board.rows]
    a_piece = Fraction(board.crosscuts, board.pieces * board.copies)
    cuts = [a_piece * row.pieces for _, row in items]
    cuts[-1] += a_piece * board.borders * board.copies
    setting = Fraction(board.stop_settings, len(items))
    minutes = [bench.minutes("cut", {"crosscut": cut, "stop_change": setting}) for cut in cuts]
    lots = lots_of([summed(one_row) for one_row in minutes], bench.lot)
    keys: list[str] = []
    for n, (first, end, taken) in enumerate(lots, start=1):
        of_lot = together(minutes[first:end])
        whole = summed(of_lot)
        words = f"Crosscut lot {n} of {len(lots)}" if len(lots) > 1 else "Crosscut all pieces"
        key = one.add(
            "cut",
            str(n),
            f"{words}: {_said(items[first:end], board.copies)}",
            scaled(of_lot, taken / whole) if whole else (),
            rows=tuple(row.number for _, row in items[first:end]),
            first=("a line along each strip's face, so that no square tile is laid crosswise",),
            writes=("grain mark",),
            after=keys[-1:] or before,
        )
        keys.append(key)
    if len(lots) > 1:
        bench.draft.remarks.append(
            f"Pieces are cut in {len(lots)} lots of rows, so that gluing can begin after the first; the stop is set "
            "anew in each, which the hours do not count."
        )
    return Laid(_sort(one, items, lots, keys), keys[-1])


def _sort(
    one: OneBoard, items: list[Item], lots: list[tuple[int, int, Fraction]], cut: list[str]
) -> Mapping[tuple[int, int], str]:
    """What a lot has cut is sorted and laid dry, every row counted before any glue. Gives what each row waits for."""
    waits = {}
    # A row too long for one lot is cut in several, which are sorted together after the last.
    last_of = {(first, end): key for (first, end, _), key in zip(lots, cut, strict=True)}
    for n, ((first, end), key) in enumerate(last_of.items(), start=1):
        sorted_ = one.in_lots(
            "sort",
            str(n),
            f"Sort and lay dry {_said(items[first:end], one.board.copies)}",
            one.bench.minutes("sort", {"row_glue": sum(row.joints > 0 for _, row in items[first:end])}),
            after=[key],
            rows=tuple(row.number for _, row in items[first:end]),
            writes=("row number and place on every piece", "datum line", "face side"),
        )
        for copy, row in items[first:end]:
            waits[copy, row.number] = (sorted_ or [key])[-1]
    return waits


def _said(items: list[Item], copies: int) -> str:
    """Rows of one copy or of several."""
    by_copy = {copy: [row.number for _, row in rows] for copy, rows in groupby(items, key=lambda item: item[0])}
    said = (f"copy {copy}, {listed(rows)}" if copies > 1 else listed(rows) for copy, rows in by_copy.items())
    return "; ".join(said)
