"""Cards, labels and tags as tagged PDFs, from what was frozen and nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from planner.measures import Length, decimals
from shopapp.common.paper import font_faces, pdf_of, pdf_on_pages
from shopapp.lumber.labels.codes import code_svg
from shopapp.lumber.labels.papers import PADDING, Paper
from shopapp.lumber.labels.planning import plank_on_paper
from shopapp.lumber.looks import WoodSeen, woods_seen

from .fitting import LINE, PRICE, TITLE, code_side, paragraphs
from .papers import CARDS

# White around the words of a card.
MARGIN = Length.of_mm(7)
# Type of a card in points, largest first; the last is taken though it be a page more.
CARD_SIZES = ("11", "10", "9.5", "9", "8.5", "8", "7.5", "7", "6.5", "6")


def paper_pdf(says: Mapping[str, Any]) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    return _cards_pdf(says) if says["kind"] == "care" else _labels_pdf(says)


def _cards_pdf(says: Mapping[str, Any]) -> bytes:
    """Two pages a card, the words as large as both have room for."""
    card = CARDS[says["sheet"]["card"]]
    context = {
        **_common(says, "card.css"),
        "folded": card.folded,
        "cards": list(_cards(says, woods_seen())),
        "size": {
            "page_wide": _mm(card.wide * 2 if card.folded else card.wide),
            "page_high": _mm(card.high),
            "margin": _mm(MARGIN),
            "face_wide": _mm(card.wide - MARGIN * 2),
            "face_high": _mm(card.high - MARGIN * 2),
            "gap": _mm(MARGIN * 2),
        },
    }
    layouts = (render_to_string("listings/cards/card_paper.html", {**context, "points": size}) for size in CARD_SIZES)
    return pdf_on_pages(layouts, 2 * len(context["cards"]))


def _cards(says: Mapping[str, Any], seen: Mapping[str, WoodSeen]) -> Iterator[dict[str, Any]]:
    for piece in says["pieces"]:
        woods = [
            {"name": name, "scientific": scientific, "plank": plank_on_paper(seen[key]) if key in seen else ""}
            for key, name, scientific in piece["woods"]
        ]
        yield {**piece, "woods": woods, "code": _code(piece), "leads": piece["code"]}


def _labels_pdf(says: Mapping[str, Any]) -> bytes:
    paper, alone = Paper.from_json(says["sheet"]["paper"]), says["sheet"]["alone"]
    context = {
        **_common(says, "labels.css", "tags.css"),
        "sheets": list(_sheets(says, paper)),
        "columns": [_mm(x) for x in paper.columns()],
        "rows": [_mm(y) for y in paper.rows()],
        "types": _types({piece["points"] for piece in says["pieces"]}),
        "size": {
            "sheet_wide": _mm(paper.width if alone else paper.sheet_width),
            "sheet_high": _mm(paper.height if alone else paper.sheet_height),
            "wide": _mm(paper.width),
            "high": _mm(paper.height),
            "code": _mm(code_side(paper)),
            "padding": _mm(PADDING),
            "line": decimals(LINE, 3),
            "title": decimals(TITLE, 3),
            "price": decimals(PRICE, 3),
        },
    }
    return pdf_of(render_to_string("listings/cards/label_paper.html", context))


def _sheets(says: Mapping[str, Any], paper: Paper) -> Iterator[list[dict[str, Any]]]:
    """Labels sheet by sheet, row by row, the first sheet begun at its ``first``."""
    labels: list[dict[str, Any]] = []
    for place, piece in enumerate(says["pieces"], start=says["sheet"]["first"] - 1):
        if place % paper.a_sheet == 0 and labels:
            yield labels
            labels = []
        row, column = divmod(place % paper.a_sheet, paper.across)
        labels.append(
            {
                **piece,
                "code": _code(piece),
                "leads": piece["code"],
                "under": paragraphs(piece),
                "size": piece["points"].replace("/", "-"),
                "column": column,
                "row": row,
            }
        )
    yield labels


def _types(points: set[str]) -> list[tuple[str, str]]:
    """Each type of a sheet: the name of its class, and how large it is."""
    return [(size.replace("/", "-"), f"{decimals(Fraction(size), 2)}pt") for size in sorted(points)]


def _code(piece: Mapping[str, Any]) -> str:
    return code_svg(piece["code"], f"Code of no. {piece['number']}") if piece["code"] else ""


def _common(says: Mapping[str, Any], *sheets: str) -> dict[str, Any]:
    css = [(settings.BASE_DIR / "static" / "css" / name).read_text() for name in sheets]
    return {"says": says, "shop": {"name": says["shop"]}, "fonts": font_faces(), "style": mark_safe("\n".join(css))}


def _mm(length: Length) -> str:
    return f"{decimals(length.mm, 4)}mm"
