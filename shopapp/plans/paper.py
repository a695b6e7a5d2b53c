"""The build sheet as a tagged PDF, rendered from a kept plan's record; nothing on it is worked out here."""

from __future__ import annotations

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.common.paper import font_faces, pdf_of
from shopapp.workshop.readers import the_workshop

from .models import Plan
from .readers import RecordView


def build_sheet_pdf(plan: Plan) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    shop = the_workshop()
    view = RecordView(plan.record, plan.title, shop.unit)
    context = {
        "plan": plan,
        "view": view,
        "shop": shop,
        "board": mark_safe(view.board()),
        "pattern": mark_safe(view.pattern()),
        "fonts": font_faces(),
        "style": mark_safe((settings.BASE_DIR / "static" / "css" / "paper.css").read_text()),
    }
    return pdf_of(render_to_string("plans/build_sheet.html", context))
