"""A sheet of labels as a tagged PDF, each label where its paper has it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from urllib.parse import urljoin

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from planner.measures import Length, decimals
from shopapp.common.paper import font_faces, pdf_of
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.lumber.models import LabelSheet, StockPiece
from shopapp.workshop.readers import the_workshop

from .codes import code_svg, squares_across
from .papers import FINEST_SQUARE, PADDING, Paper
from .planning import plank_on_paper


@dataclass(frozen=True)
class Label:
    """One label: its piece, and its column and row on its sheet."""

    piece: StockPiece
    wood: WoodSeen
    address: str
    code: str
    plank: str
    column: int
    row: int


def address_of(piece: StockPiece, shop_address: str) -> str:
    return urljoin(shop_address, piece.get_absolute_url())


def code_side(paper: Paper) -> Length:
    """How wide the code stands on a label: as high as the label allows, and never more than two fifths of its width."""
    return min(paper.height - PADDING * 2, Length(paper.width.mm * 2 / 5))


def code_is_readable(paper: Paper, longest_address: str) -> bool:
    """Whether the squares of the code are coarse enough for a camera."""
    return code_side(paper).mm / squares_across(longest_address) >= FINEST_SQUARE.mm


def labels_pdf(sheet: LabelSheet) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    paper, seen, shop = Paper.from_json(sheet.paper), woods_seen(), the_workshop()
    found = StockPiece.objects.select_related("lot__delivery").in_bulk(sheet.pieces)
    pieces = [found[pk] for pk in sheet.pieces if pk in found]
    context = {
        "sheets": list(_sheets(pieces, paper, sheet, seen)),
        "columns": [_mm(x) for x in paper.columns()],
        "rows": [_mm(y) for y in paper.rows()],
        "size": {name: _mm(value) for name, value in _sizes(paper, max(len(piece.mark) for piece in pieces))},
        "shop": shop,
        "fonts": font_faces(),
        "style": mark_safe((settings.BASE_DIR / "static" / "css" / "labels.css").read_text()),
    }
    return pdf_of(render_to_string("lumber/labels/label_paper.html", context))


def _sizes(paper: Paper, longest: int) -> Iterator[tuple[str, Length]]:
    """Widths and heights of a sheet's parts; the mark is as large as the ``longest`` one allows, for it is read across
    the rack, and what stands under it leaves it room. A letter is about three fifths as wide as it is high."""
    room = paper.width.mm - code_side(paper).mm - PADDING.mm * 2
    mark = Length(min(paper.height.mm * 2 / 7, room / (longest * Fraction(31, 50))))
    yield "sheet_width", paper.sheet_width
    yield "sheet_height", paper.sheet_height
    yield "width", paper.width
    yield "height", paper.height
    yield "code", code_side(paper)
    yield "padding", PADDING
    yield "mark", mark
    yield (
        "line",
        Length(min(room / 10, (paper.height.mm - PADDING.mm * 2 - mark.mm * Fraction(23, 20)) / Fraction(11, 2))),
    )


def _sheets(
    pieces: Sequence[StockPiece], paper: Paper, sheet: LabelSheet, seen: dict[str, WoodSeen]
) -> Iterator[list[Label]]:
    """Labels sheet by sheet, row by row, the first sheet begun at its ``first`` label."""
    labels: list[Label] = []
    for place, piece in enumerate(pieces, start=sheet.first - 1):
        if place % paper.a_sheet == 0 and labels:
            yield labels
            labels = []
        row, column = divmod(place % paper.a_sheet, paper.across)
        address = address_of(piece, sheet.address)
        code = code_svg(address, f"Code of {piece.mark}")
        wood = seen[piece.wood]
        labels.append(Label(piece, wood, address, code, plank_on_paper(wood), column, row))
    yield labels


def _mm(length: Length) -> str:
    return f"{decimals(length.mm, 4)}mm"
