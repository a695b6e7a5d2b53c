"""The shop book as a tagged PDF, rendered from stored records; nothing on it is worked out here."""

from __future__ import annotations

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.common.paper import font_faces, pdf_of
from shopapp.plans.models import ShopBook

from .cover import PICTURE, contents_of, pictures_of
from .sections import sections_of
from .told import Told, told_of

_STYLES = ("paper.css", "marking_paper.css", "book_paper.css", "book_making.css")


def book_html(book: ShopBook) -> str:
    """The page the paper is laid out from."""
    return _html(told_of(book))


def _html(told: Told) -> str:
    sections = sections_of(told)
    styles = settings.BASE_DIR / "static" / "css"
    context = {
        "book": told.book,
        "picture": PICTURE,
        "plan": told.plan,
        "view": told.view,
        "shop": told.shop,
        "fonts": font_faces(),
        "style": mark_safe("\n".join((styles / name).read_text() for name in _STYLES)),
        "contents": contents_of(sections),
        **sections,
    }
    return render_to_string("plans/book/book.html", context)


def shop_book_pdf(book: ShopBook) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    told = told_of(book)
    return pdf_of(_html(told), pictures_of(told))
