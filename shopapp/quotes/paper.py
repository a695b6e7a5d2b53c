"""A quote as a tagged PDF on the shop's letterhead: one page for one board, more for more; rendered from what was kept
of it and from its plans' records."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.common.paper import font_faces, pdf_of, pdf_on_one_page
from shopapp.workshop.readers import the_workshop

from .models import Quote
from .readers import OptionView, QuoteView

# Set ever closer until all of it stands on one page.
CLOSENESSES = (0, 1, 2, 3)


@dataclass(frozen=True)
class _OnPaper:
    """An option with the address its picture has in the page."""

    view: OptionView

    @property
    def picture(self) -> str:
        return f"picture:{self.view.option.place}.jpg"


def quote_pdf(quote: Quote) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    view = QuoteView(quote, the_workshop())
    options = [_OnPaper(one) for one in view.options]
    sheets = [(settings.BASE_DIR / "static" / "css" / name).read_text() for name in ("paper.css", "offer.css")]
    context = {
        "quote": quote,
        "view": view,
        "options": options,
        "only": options[0] if len(options) == 1 else None,
        "cautions": view.cautions(),
        "fonts": font_faces(),
        "style": mark_safe("\n".join(sheets)),
    }
    pictures = {one.picture: one.view.picture() for one in options}
    if len(options) > 1:
        return pdf_of(render_to_string("quotes/offer.html", {**context, "closeness": 0}), pictures)
    layouts = (render_to_string("quotes/offer.html", {**context, "closeness": closeness}) for closeness in CLOSENESSES)
    return pdf_on_one_page(layouts, pictures)
