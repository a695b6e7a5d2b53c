"""A quote as a tagged PDF of one page, rendered from what was written in it and from its plan's record."""

from __future__ import annotations

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.common.paper import font_faces, pdf_on_one_page
from shopapp.workshop.readers import the_workshop

from .models import Quote
from .readers import QuoteView

# Set ever closer until all of it stands on one page.
CLOSENESSES = (0, 1, 2)
_PICTURE = "picture:board.jpg"


def quote_pdf(quote: Quote) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    shop = the_workshop()
    view = QuoteView(quote, shop)
    sheets = [(settings.BASE_DIR / "static" / "css" / name).read_text() for name in ("paper.css", "offer.css")]
    context = {
        "quote": quote,
        "view": view,
        "only": view.options[0],
        "shop": shop,
        "picture": _PICTURE,
        "fonts": font_faces(),
        "style": mark_safe("\n".join(sheets)),
    }
    layouts = (render_to_string("quotes/offer.html", {**context, "closeness": closeness}) for closeness in CLOSENESSES)
    return pdf_on_one_page(layouts, {_PICTURE: view.options[0].picture()})
