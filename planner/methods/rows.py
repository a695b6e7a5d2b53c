"""Boards glued row by row: tiles, runs and deep rows, the rows either way."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from planner.build import BoardSpec, Build, build, seam_place
from planner.cutting import LumberNeed, lumber_need, widest_strips
from planner.cutting.lumber import usable_length
from planner.hours import count_operations
from planner.measures import ZERO, Length
from planner.methods.counting import Row, RowCounts, count_rows
from planner.methods.effort import Effort, Step
from planner.methods.terms import Maker, Weakest
from planner.methods.work import StripsOf, Work
from planner.pattern import Pattern
from planner.shop import StockSize


def board_of(pattern: Pattern, spec: BoardSpec, maker: Maker) -> Build:
    """Raises BuildError."""
    return build(pattern, spec, spec.method, maker.shop, widest_strips(stock_of(maker), maker.shop))


def stock_of(maker: Maker) -> dict[str, StockSize]:
    return {name: offer.stock for name, offer in maker.offers.items()}


def lumber_of(board: Build, copies: int, maker: Maker) -> tuple[Build, LumberNeed]:
    """The board asked for so many times, and its lumber. Raises CuttingError."""
    asked = replace(board, spec=replace(board.spec, quantity=copies))
    return asked, lumber_need(asked, maker.shop, stock_of(maker))


def work_of(board: Build, lumber: LumberNeed, counts: RowCounts) -> Work:
    """``board.spec.quantity`` copies; ``counts`` are those of one."""
    copies, shop = board.spec.quantity, board.shop
    borders = board.counts.border_strips * copies
    thick = (board.spec.thickness + shop.flattening).mm
    end_mm2 = counts.end_area * thick * copies
    kerf, grip = _lost(lumber, board)
    return Work(
        pieces=counts.pieces * copies + borders,
        crosscuts=sum(need.crosscuts for need in lumber.woods),
        stops=board.counts.stop_settings,
        glue_ups={"Rows": counts.rows_glued * copies},
        end_joints=counts.joints * copies,
        long_joints={"Row to row": counts.row_joints * copies, "Borders along the rows": borders},
        end_mm2=end_mm2,
        long_mm2=board.joints.glue_area_mm2 * copies - end_mm2,
        strips=tuple(_strips(lumber)),
        kerf=kerf,
        grip=grip,
        gross={need.wood: need.gross_mm3 for need in lumber.woods},
        operations=count_operations(board, lumber),
    )


def counts_of(board: Build) -> RowCounts:
    """Of the rows of one board as they are cut: crosscut lengths, gauged height, in millimetres."""
    pieces = [(part.wood, part.stage("crosscut").length.mm) for part in board.parts]
    heights = [part.stage("gauged").width.mm for part in board.parts]
    rows = [Row(tuple(pieces[n] for n in row.parts), heights[row.parts[0]]) for row in board.rows]
    return count_rows(rows, 1, board.shop.crosscut_kerf.mm)


def effort_of(board: Build, work: Work, maker: Maker) -> Effort:
    """``work`` is that of ``board`` once or however often; spares are left out of the effort, and a strip is full when
    its length is."""
    copies, shop, times = board.spec.quantity, board.shop, maker.times
    once = ("setup_job", "stop_change")
    sawn = ("rip_strip", "crosscut")
    each = sum(
        (times[name] * count / copies for name, count in work.operations.items() if name not in (*once, *sawn)),
        times["crosscut"] * board.counts.crosscuts,
    )
    needed: dict[tuple[str, Length], Fraction] = defaultdict(Fraction)
    for part in board.parts:
        strip = part.stage("ripped")
        needed[part.wood, strip.width] += part.count * (strip.length + shop.crosscut_kerf).mm
    # Ripping a strip, and the cut that squares its end.
    minutes, room = times["rip_strip"] + times["crosscut"], usable_length(shop).mm
    return Effort(
        sum((times[name] * work.operations[name] for name in once), Fraction(0)),
        each,
        tuple(Step(minutes, length, room) for length in needed.values()),
    )


def weakest_of(board: Build) -> Weakest | None:
    seam = board.weakest
    if seam is None:
        return None
    place = seam_place(seam.column, board.pattern.width, board.spec.along)
    return Weakest(place, seam.carried, seam.of, seam.longest_gap)


def _strips(lumber: LumberNeed) -> list[StripsOf]:
    found = []
    for need in lumber.woods:
        strips = [strip for section in need.sections for strip in section.strips]
        total = sum((strip.needed * strip.count for strip in strips), ZERO)
        found.append(StripsOf(need.wood, need.strips, total, max(strip.needed for strip in strips)))
    return found


def _lost(lumber: LumberNeed, board: Build) -> tuple[dict[str, Fraction], Fraction]:
    """Volumes of dust and of the ends kept in the hand."""
    shop = board.shop
    cross = rip = grip = Fraction(0)
    for need in lumber.woods:
        for section in need.sections:
            for strip in section.strips:
                face = strip.width.mm * section.thickness.mm * strip.count
                cross += shop.crosscut_kerf.mm * sum(pieces for _, pieces in strip.cuts) * face
                rip += shop.rip_kerf.mm * strip.needed.mm * section.thickness.mm * strip.count
                grip += shop.grip.mm * face
    return {"Crosscuts": cross, "Rip cuts": rip}, grip
