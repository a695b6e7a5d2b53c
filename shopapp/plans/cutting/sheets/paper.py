"""The marking-out sheets as a tagged PDF, rendered from a kept cut plan; nothing on them is worked out here."""

from __future__ import annotations

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.common.paper import font_faces, pdf_of
from shopapp.plans.models import CutSheet
from shopapp.workshop.readers import the_workshop

from .readers import places_now, sheet_view, to_take

_STYLES = ("paper.css", "marking_paper.css")
NOTE_LINES = range(9)


def marking_sheets_html(sheet: CutSheet) -> str:
    """The page the paper is laid out from. Two queries and the sheet's own."""
    shop = the_workshop()
    view = sheet_view(sheet, shop)
    styles = settings.BASE_DIR / "static" / "css"
    context = {
        "sheet": sheet,
        "view": view,
        "shop": shop,
        "taken": to_take(sheet, view.boards, places_now(sheet)),
        "fonts": font_faces(),
        "note_lines": NOTE_LINES,
        "style": mark_safe("\n".join((styles / name).read_text() for name in _STYLES)),
    }
    return render_to_string("plans/cutting/sheets/marking_paper.html", context)


def marking_sheets_pdf(sheet: CutSheet) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    return pdf_of(marking_sheets_html(sheet))
