"""From buying wood to pieces sorted and laid dry: the stages of the making before any glue."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from planner.gluing.bench import OneBoard, listed
from planner.gluing.glueboard import GlueRow
from planner.gluing.loading import lots_of
from planner.gluing.steps import MINUTES_A_DAY

AT_THE_SAW = ("small_parts", "kickback", "dust")
AT_THE_PLANER = ("short_stock", "kickback", "dust")


@dataclass(frozen=True, slots=True)
class Laid:
    """What a row waits for, by copy and row number, and what borders wait for."""

    rows: Mapping[tuple[int, int], str]
    last_cut: str


def lay_wood(one: OneBoard, copies: list[tuple[OneBoard, int]]) -> Laid:
    """The wood of all copies bought, milled and cut. ``copies`` are (bench of the copy, its number from 1)."""
    gauged = _strips(one)
    return _crosscut(one, copies, gauged)


def _strips(one: OneBoard) -> list[str]:
    bench, board = one.bench, one.board
    around = bench.around
    settled: list[str] = []
    if not around.in_hand:
        for kind, stage, words, days, ends in (
            ("wood", "wood in", "Wood on its way", around.buying_days, "the wood is here"),
            ("settle", "settled", "Wood settles in the shop", around.settling_days, "it has settled"),
        ):
            if days:
                hold = days * MINUTES_A_DAY
                settled = [one.add(kind, "", stage, words, hold=hold, after=settled, ends=ends)]
    ready = one.in_lots(
        "ready",
        "",
        "wood in",
        "Get ready: drawings, wood, saw and sled",
        bench.minutes("ready", {"setup_job": 1}),
        after=(),
        cautions=("machine_manual",),
    )
    rough = one.in_lots(
        "rough",
        "",
        "rough milled",
        "Crosscut to rough lengths and mill them oversize",
        bench.minutes("rough", {"rip_strip": board.strips}),
        after=[*settled, *ready[-1:]],
        cautions=AT_THE_PLANER,
    )
    rest = around.rest_days * MINUTES_A_DAY
    ripped = one.in_lots(
        "rip",
        "",
        "final milled and ripped",
        "Mill to final thickness and rip strips",
        bench.minutes("rip", {"rip_strip": board.strips}),
        after=rough[-1:] or [*settled, *ready[-1:]],
        wait=rest if rough else 0,
        cautions=("short_stock", "kickback", "dust"),
    )
    # All woods are brought to one size at one setting, so every strip is there first.
    gauged = one.in_lots(
        "gauge",
        "",
        "gauged",
        "Gauge all strips at one setting",
        bench.minutes("gauge", {"rip_strip": board.strips}),
        after=ripped[-1:],
        cautions=("short_stock", "dust"),
        writes=("grain mark on every strip",),
    )
    return gauged or ripped or rough or [*settled, *ready[-1:]]


def _crosscut(one: OneBoard, copies: list[tuple[OneBoard, int]], before: list[str]) -> Laid:
    """Lots of neighbouring rows, each with its share of the cuts; borders with the last."""
    bench, board = one.bench, one.board
    items: list[tuple[int, GlueRow]] = [(copy, row) for _, copy in copies for row in board.rows]
    pieces = board.pieces * board.copies
    cuts = [Fraction(board.crosscuts * row.pieces, pieces) for _, row in items]
    cuts[-1] += Fraction(board.crosscuts * board.borders * board.copies, pieces)
    settings = [Fraction(board.stop_settings, len(items))] * len(items)
    minutes = [
        bench.minutes("cut", {"crosscut": cut, "stop_change": setting})
        for cut, setting in zip(cuts, settings, strict=True)
    ]
    lots = lots_of([sum((part for _, part in found), Fraction(0)) for found in minutes], bench.lot)
    keys: list[str] = []
    laid: dict[tuple[int, int], str] = {}
    for n, (first, end, taken) in enumerate(lots):
        whole = sum((part for found in minutes[first:end] for _, part in found), Fraction(0))
        shares: dict[str, Fraction] = {}
        for found in minutes[first:end]:
            for op, part in found:
                shares[op] = shares.get(op, Fraction(0)) + (part * taken / whole if whole else Fraction(0))
        words = f"Crosscut lot {n + 1} of {len(lots)}" if len(lots) > 1 else "Crosscut all pieces"
        keys.append(
            one.add(
                "cut",
                str(n + 1),
                "crosscut",
                f"{words}: {_rows_said(items[first:end], board.copies)}",
                tuple(shares.items()),
                rows=tuple(row.number for _, row in items[first:end]),
                first=("a line along each strip's face, so that no square tile is laid crosswise",),
                writes=("grain mark",),
                cautions=AT_THE_SAW,
            )
        )
    for key in before[-1:]:
        bench.draft.after(key, keys[0])
    for key, following in pairwise(keys):
        bench.draft.after(key, following)
    _sort(one, copies, items, lots, keys, laid)
    return Laid(laid, keys[-1])


def _sort(
    one: OneBoard,
    copies: list[tuple[OneBoard, int]],
    items: list[tuple[int, GlueRow]],
    lots: list[tuple[int, int, Fraction]],
    cut: list[str],
    laid: dict[tuple[int, int], str],
) -> None:
    """What a lot has cut is sorted and laid dry, counted row by row before any glue."""
    spans: dict[tuple[int, int], int] = {}
    for n, (first, end, _) in enumerate(lots):
        spans[first, end] = n
    for number, ((first, end), n) in enumerate(spans.items(), start=1):
        glued = sum(row.joints > 0 for _, row in items[first:end])
        rows = _rows_said(items[first:end], one.board.copies)
        keys = one.in_lots(
            "sort",
            str(number),
            "sorted and dry-laid",
            f"Sort and lay dry: {rows}",
            one.bench.minutes("sort", {"row_glue": glued}),
            after=[cut[n]],
            writes=("row number and place on every piece", "datum seam", "face side"),
        )
        for copy, row in items[first:end]:
            laid[copy, row.number] = keys[-1] if keys else cut[n]


def _rows_said(items: list[tuple[int, GlueRow]], copies: int) -> str:
    if copies == 1:
        return listed([row.number for _, row in items])
    by_copy: dict[int, list[int]] = {}
    for copy, row in items:
        by_copy.setdefault(copy, []).append(row.number)
    return "; ".join(f"copy {copy}, {listed(rows)}" for copy, rows in by_copy.items())
