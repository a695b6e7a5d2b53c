"""The PDF of a year, from what was frozen and nothing else."""

from __future__ import annotations

import json
from datetime import date

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.books.models import YearPaper
from shopapp.common.paper import font_faces, pdf_of

_STYLES = ("paper.css", "year_paper.css")


def year_html(paper: YearPaper) -> str:
    """The page the paper is laid out from."""
    says = json.loads(paper.says)
    styles = settings.BASE_DIR / "static" / "css"
    context = {
        "says": says,
        "on": date.fromisoformat(says["on"]),
        "letter": paper.sheet == YearPaper.Sheet.LETTER,
        "shop": {"name": says["shop"]},
        "fonts": font_faces(),
        "style": mark_safe("\n".join((styles / name).read_text() for name in _STYLES)),
    }
    return render_to_string("books/year_paper.html", context)


def year_pdf(paper: YearPaper) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    return pdf_of(year_html(paper))
