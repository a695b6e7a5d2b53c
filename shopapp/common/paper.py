"""Papers as tagged PDFs: one engine, the shop's own fonts, and nothing fetched from anywhere else."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from importlib.resources import as_file, files
from pathlib import Path
from types import MappingProxyType
from urllib.parse import unquote, urlsplit

FONTS = {
    "Source Serif Pro": ("font_source_serif_pro", {"400": "SourceSerifPro-Regular", "600": "SourceSerifPro-Semibold"}),
    "Source Sans Pro": ("font_source_sans_pro", {"400": "SourceSansPro-Regular", "600": "SourceSansPro-Semibold"}),
}


class PaperTrouble(Exception):
    """The paper cannot be made on this machine; says what is missing."""


def pdf_of(html: str, pictures: Mapping[str, bytes] = MappingProxyType({})) -> bytes:
    """The bytes of a page of HTML as a PDF that can be read aloud; ``pictures`` are JPEGs, each by the whole address it
    has in the page.

    Raises PaperTrouble where the engine's native libraries are missing.
    """
    with _uncollected():
        return _written(_laid_out(html, pictures))


def pdf_on_one_page(layouts: Iterable[str], pictures: Mapping[str, bytes] = MappingProxyType({})) -> bytes:
    return pdf_on_pages(layouts, 1, pictures)


def pdf_on_pages(layouts: Iterable[str], most: int, pictures: Mapping[str, bytes] = MappingProxyType({})) -> bytes:
    """The first of ``layouts``, the same words set ever closer, that fits on so many pages; the last where none does.
    ``pictures`` as above."""
    laid = None
    with _uncollected():
        for html in layouts:
            laid = _laid_out(html, pictures)
            if len(laid.pages) <= most:
                break
        return _written(laid)


@contextmanager
def _uncollected() -> Iterator[None]:
    """No looking for circles of objects nobody holds: a paper is one web of boxes that lives until it is written, and
    going through it again and again took a third of the time. What it leaves is put with what is old, and found when
    that is next gone through; a worker's child ends before."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.freeze()
            gc.unfreeze()
            gc.enable()


def _laid_out(html: str, pictures: Mapping[str, bytes] = MappingProxyType({})):
    engine = _engine()
    document = engine.HTML(string=html, url_fetcher=_own_files_only(engine, pictures))
    return document.render(pdf_variant="pdf/ua-1")


def _written(laid) -> bytes:
    return laid.write_pdf(pdf_variant="pdf/ua-1")


def _engine():
    try:
        import weasyprint
    except OSError as error:
        raise PaperTrouble(
            "This machine lacks the libraries that make PDFs. Install them as the README says (on Debian: "
            "apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0), then ask again."
        ) from error
    return weasyprint


def font_faces() -> list[dict[str, str]]:
    """Font files of the installed packages, by family and weight."""
    faces = []
    for family, (package, weights) in FONTS.items():
        for weight, name in weights.items():
            with as_file(files(package) / "files" / f"{name}.ttf") as path:
                faces.append({"family": family, "weight": weight, "url": Path(path).as_uri()})
    return faces


def _own_files_only(engine, pictures: Mapping[str, bytes] = MappingProxyType({})):
    """A fetcher of the fonts named above, of ``pictures`` by their addresses, and of nothing else: no network, no other
    file."""
    allowed = {face["url"]: Path(unquote(urlsplit(face["url"]).path)) for face in font_faces()}
    answer = engine.urls.URLFetcherResponse

    class OwnFiles(engine.urls.URLFetcher):
        def fetch(self, url: str, headers: object = None):
            if url in pictures:
                return answer(url, body=pictures[url], headers={"Content-Type": "image/jpeg"})
            if url not in allowed:
                raise ValueError(f"{url} is not fetched for a paper.")
            return answer(url, body=allowed[url].read_bytes(), headers={"Content-Type": "font/ttf"})

    return OwnFiles()
