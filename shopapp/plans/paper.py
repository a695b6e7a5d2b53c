"""The build sheet as a tagged PDF, rendered from a kept plan's record; nothing on it is worked out here."""

from __future__ import annotations

from importlib.resources import as_file, files
from pathlib import Path
from urllib.parse import unquote, urlsplit

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.workshop.readers import the_workshop

from .models import Plan
from .readers import RecordView

FONTS = {
    "Source Serif Pro": ("font_source_serif_pro", {"400": "SourceSerifPro-Regular", "600": "SourceSerifPro-Semibold"}),
    "Source Sans Pro": ("font_source_sans_pro", {"400": "SourceSansPro-Regular", "600": "SourceSansPro-Semibold"}),
}


class PaperTrouble(Exception):
    """The paper cannot be made on this machine; says what is missing."""


def build_sheet_pdf(plan: Plan) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    engine = _engine()
    shop = the_workshop()
    view = RecordView(plan.record, plan.title, shop.unit)
    context = {
        "plan": plan,
        "view": view,
        "shop": shop,
        "board": mark_safe(view.board()),
        "pattern": mark_safe(view.pattern()),
        "fonts": _font_faces(),
        "style": mark_safe((settings.BASE_DIR / "static" / "css" / "paper.css").read_text()),
    }
    html = render_to_string("plans/build_sheet.html", context)
    document = engine.HTML(string=html, url_fetcher=_own_files_only(engine))
    return document.write_pdf(pdf_variant="pdf/ua-1", full_fonts=True)


def _engine():
    try:
        import weasyprint
    except OSError as error:
        raise PaperTrouble(
            "This machine lacks the libraries that make PDFs. Install them as the README says (on Debian: "
            "apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0), then ask again."
        ) from error
    return weasyprint


def _font_faces() -> list[dict[str, str]]:
    """Font files of the installed packages, by family and weight."""
    faces = []
    for family, (package, weights) in FONTS.items():
        for weight, name in weights.items():
            with as_file(files(package) / "files" / f"{name}.ttf") as path:
                faces.append({"family": family, "weight": weight, "url": Path(path).as_uri()})
    return faces


def _own_files_only(engine):
    """A fetcher of the fonts named above and of nothing else: no network, no other file."""
    allowed = {face["url"]: Path(unquote(urlsplit(face["url"]).path)) for face in _font_faces()}
    answer = engine.urls.URLFetcherResponse

    class OwnFiles(engine.urls.URLFetcher):
        def fetch(self, url: str, headers: object = None):
            if url not in allowed:
                raise ValueError(f"{url} is not fetched for a paper.")
            return answer(url, body=allowed[url].read_bytes(), headers={"Content-Type": "font/ttf"})

    return OwnFiles()
