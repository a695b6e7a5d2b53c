"""A reckoning as plain JSON: everything a page or a paper shows, so that nothing is worked out twice.

Lengths, areas and shares are exact fractions written as text ("19", "381/40"), money as decimals. The form
is numbered; a reader that meets a newer number than its own says so instead of guessing.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from planner.build import Build, Detail, Panel, Part, RowOfParts, Seam, along_of
from planner.measures import Length
from planner.movement import moving_record
from planner.reckoning import Reckoning, WoodLine

# 1: as first kept. 2: also what was compared, careful hours beside the likely, movement and mass; in an older record
# those keys are missing, and their part of a page is left out.
RECORD_FORM = 2
PLANNER_VERSION = "1"

Json = dict[str, Any]


def to_record(reckoning: Reckoning) -> Json:
    """The whole reckoning as a JSON-safe dict. Lengths in millimetres as exact text.

    ``pattern`` is the picture as it hangs. Everything else is as the rows are laid: ``rows`` of ``columns`` tiles,
    ``finished`` and ``blank`` along the rows and across them. Where ``spec`` says they run along "columns", row 1 hangs
    at the left and every row begins at the bottom; records of before they could do not say and run along "rows".
    """
    board = reckoning.build
    return {
        "form": RECORD_FORM,
        "pattern": board.picture.to_text(),
        "rows": board.pattern.height,
        "columns": board.pattern.width,
        "spec": _spec(board),
        "finished": [_mm(board.finished_length), _mm(board.finished_height), _mm(board.spec.thickness)],
        "blank": [_mm(board.blank_length), _mm(board.blank_height)],
        "parts": [_part(part) for part in board.parts],
        "laid": [_laid(row) for row in board.rows],
        "panels": [_panel(panel) for panel in board.panels],
        "borders": [board.top_border, board.bottom_border],
        "seams": [_seam(seam) for seam in board.seams],
        "weakest": None if board.weakest is None else _seam(board.weakest),
        "woods": [_wood(line) for line in reckoning.woods],
        "figures": {name: figure.as_record() for name, figure in reckoning.figures.items()},
        "operations": {name: str(count) for name, count in reckoning.operations.items()},
        "moving": moving_record(reckoning.moving),
        "details": [_detail(detail) for detail in reckoning.details],
        "mass": reckoning.mass.as_record(),
        "supplies": reckoning.supplies.as_record(),
        "no_price": reckoning.asking.no_price,
        "price_warning": reckoning.asking.warning,
        "carriage_trouble": reckoning.sent.trouble,
        "fees": [] if reckoning.asking.settlement is None else [str(f) for f in reckoning.asking.settlement.fees],
        "warnings": [{"words": w.words, "why": w.why, "mend": w.mend} for w in board.warnings],
        "joints": {
            "in_rows": board.joints.in_rows,
            "row_to_row": board.joints.row_to_row,
            "borders": board.joints.borders,
        },
    }


def hanging_size(record: Mapping[str, Any]) -> tuple[Length, Length]:
    """How wide and how high the finished board of a record hangs."""
    long, across = (Length.of_mm(text) for text in record["finished"][:2])
    return (across, long) if along_of(record) == "columns" else (long, across)


def _mm(length: Length) -> str:
    return str(length.mm)


def _spec(board: Build) -> Json:
    spec = board.spec
    return {
        "use": spec.use,
        "method": spec.method,
        "along": spec.along,
        "quantity": spec.quantity,
        "border_wood": spec.border_wood,
        "pitch": _mm(spec.pitch),
        "thickness": _mm(spec.thickness),
        "side_border": _mm(spec.side_border),
        "end_border": _mm(spec.end_border),
        "details": list(spec.details),
    }


def _detail(detail: Detail) -> Json:
    """Of one board; ``screws`` on the finished board as it is laid."""
    return {
        "key": detail.key,
        "words": detail.words,
        "where": detail.where,
        "minutes": detail.minutes.as_record(),
        "hardware": detail.hardware,
        "price": str(detail.price),
        "screws": [[_mm(screw.x), _mm(screw.y)] for screw in detail.screws],
    }


def _laid(row: RowOfParts) -> Json:
    laid = {"number": row.number, "parts": list(row.parts), "first": row.first, "deep": row.deep}
    return {**laid, "panel": row.panel, "turned": row.turned} if row.panel else laid


def _panel(panel: Panel) -> Json:
    return {
        "number": panel.number,
        "strips": list(panel.strips),
        "slices": panel.slices,
        "spare": panel.spare,
        "count": panel.count,
        "lengths": [[_mm(length), count] for length, count in panel.lengths],
        "size": [_mm(panel.total), _mm(panel.width), _mm(panel.thickness)],
        "sliced": _mm(panel.sliced),
    }


def _part(part: Part) -> Json:
    return {
        "kind": part.kind,
        "wood": part.wood,
        "tiles": part.tiles,
        "deep": part.deep,
        "count": part.count,
        **({"for_all": True, "pieces": part.pieces} if part.for_all else {}),
        "place": [_mm(part.place_length), _mm(part.place_width)],
        "stages": {s.name: [_mm(s.length), _mm(s.width), _mm(s.thickness)] for s in part.stages},
    }


def _seam(seam: Seam) -> Json:
    return {
        "column": seam.column,
        "carried": _mm(seam.carried),
        "of": _mm(seam.of),
        "longest_gap": _mm(seam.longest_gap),
        "share": str(seam.share),
    }


def _wood(line: WoodLine) -> Json:
    need, offer = line.need, line.offer
    return {
        "wood": need.wood,
        "name": offer.name,
        "rgb": list(offer.rgb),
        "mark": offer.mark,
        "price": str(Decimal(offer.price)),
        "per": offer.per,
        "tiles": need.tiles,
        "pieces": need.pieces,
        "spares": need.spares,
        "strips": need.strips,
        "rough_lengths": need.rough_lengths,
        "gross": line.gross.as_record(),
        "net": line.net.as_record(),
        "cautions": [{"kind": c.kind, "words": c.words, "source": c.source} for c in line.cautions],
    }
