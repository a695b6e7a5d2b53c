"""The shop book as a document: tagged, titled, its fonts embedded, on both papers, its pages broken where one turns."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from itertools import pairwise

import pikepdf
import pytest

from shopapp.plans.book.cover import NAMES, contents_of
from shopapp.plans.book.paper import shop_book_pdf
from shopapp.plans.book.sections import SECTIONS
from tests.support.books import a_lamp, book, whole

# ISO 216; 8.5 by 11 in (ANSI/ASME Y14.1). A PDF's point is 1/72 in.
PAPERS = {"A4": (210, 297), "letter": (215.9, 279.4)}
_MADE: dict[str, tuple[bytes, str]] = {}


@pytest.fixture(params=PAPERS)
def paper(request, owner) -> tuple[str, bytes, str]:
    """The name of the paper, a book with everything in it as bytes, and the title of its plan; each made once."""
    name = request.param
    if name not in _MADE:
        plan = whole(owner, a_lamp(12), method="tiles", details=("hanger",))
        _MADE[name] = shop_book_pdf(book(owner, plan, name)), plan.title
    return name, *_MADE[name]


# The book of a plan nothing else was kept for, as other tests read it too.
a_bare_plan = pytest.mark.parametrize("printed", ["deep rows, upright, Letter"], indirect=True)


def elements(node):
    kids = node.get("/K", [])
    for child in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from elements(child)


def pages_of(pdf: bytes) -> list[str]:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode().split("\f")[:-1]


def test_it_says_that_it_is_tagged_its_title_and_its_language(paper):
    """PDF/UA-1 (ISO 14289-1), 7.1 and 7.2: marked, a title that is shown, a language, its own sign in the metadata."""
    with pikepdf.open(io.BytesIO(paper[1])) as pdf:
        assert pdf.Root.MarkInfo.Marked and str(pdf.Root.Lang) == "en"
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert str(pdf.docinfo.Title) == f"Shop book: {paper[2]}"
        assert pdf.open_metadata()["pdfuaid:part"] == "1"


def test_every_drawing_has_words_and_heads_do_not_skip_a_level(paper):
    """ISO 14289-1, 7.3 and 7.4.2."""
    with pikepdf.open(io.BytesIO(paper[1])) as pdf:
        found = list(elements(pdf.Root.StructTreeRoot))
    kinds = [str(one.S) for one in found]
    assert {"/H1", "/H2", "/H3", "/Table", "/TH", "/TD", "/P", "/Figure", "/L", "/LI", "/Link"} <= set(kinds)
    figures = [one for one in found if str(one.S) == "/Figure"]
    assert len(figures) > 10 and all(str(figure.get("/Alt", "")) for figure in figures)
    levels = [int(kind[2:]) for kind in kinds if re.fullmatch("/H[1-6]", kind)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_every_font_on_every_page_is_embedded_and_of_the_installed_packages(paper):
    names = set()
    with pikepdf.open(io.BytesIO(paper[1])) as pdf:
        for page in pdf.pages:
            for font in page.Resources.get("/Font", {}).values():
                described = font.DescendantFonts[0].FontDescriptor
                assert "/FontFile2" in described or "/FontFile3" in described
                names.add(str(described.FontName).partition("+")[2] or str(described.FontName))
    assert names and all("Source" in name for name in names), names


def test_every_page_is_of_the_paper_it_was_asked_on(paper):
    with pikepdf.open(io.BytesIO(paper[1])) as pdf:
        for page in pdf.pages:
            assert [float(side) * 25.4 / 72 for side in page.MediaBox[2:]] == pytest.approx(PAPERS[paper[0]], abs=0.1)


def test_every_page_but_the_cover_names_the_book_its_section_and_its_number(paper):
    pages = pages_of(paper[1])
    for number, page in enumerate(pages, 1):
        lines = [line for line in page.splitlines() if line.strip()]
        assert lines[-1].rstrip().endswith(f"page {number} of {len(pages)}")
        # On the second page stands what is in the book.
        if number > 2:
            assert re.match(rf"{re.escape(paper[2])} {{2,}}\S", lines[0]), lines[0]


def test_the_contents_name_every_section_and_the_page_it_begins_on(paper):
    pages = pages_of(paper[1])
    told = dict(re.findall(r"^ *(\S.*?)(?: \.)+ +(\d+)$", pages[1], flags=re.MULTILINE))
    # Nothing was gauged when it was asked for.
    assert list(told) == [name for key, name in NAMES.items() if key != "gauged"]
    begins = [int(number) for number in told.values()]
    assert begins == sorted(set(begins)) and begins[0] == 3 and begins[-1] <= len(pages)
    for name in ("Set-ups, in the order of the work", "Rows to lay", "Notes and actual times"):
        lines = [line for line in pages[int(told[name]) - 1].splitlines() if line.strip()]
        assert lines[1].strip() == name


def test_a_set_up_never_goes_over_a_page(paper):
    """A table that is broken repeats its heads where it goes on."""
    tables = 0
    for page in pages_of(paper[1]):
        begun = len(re.findall(r"Cuts of set-up \d+", page))
        assert len(re.findall(r"Done +From +What +Count +Size", page)) == begun
        tables += begun
    assert tables >= 6


def test_what_is_read_aloud_has_no_joined_letters(paper):
    assert not re.search("[\ufb00-\ufb06]", " ".join(pages_of(paper[1])))


@a_bare_plan
def test_the_book_of_a_bare_plan_says_what_is_not_in_it(printed):
    flat = " ".join(" ".join(pages_of(printed.pdf)).split())
    assert "Not in this book: boards to take, marking-out sheets, set-ups. No cut plan was kept" in flat
    assert "Not in this book: cards for the evenings. No timetable was kept" in flat
    assert "Take from the rack" not in flat and "Cuts of set-up" not in flat and "Rows to lay" in flat


@a_bare_plan
def test_the_plan_s_hash_stands_in_it_whole(printed):
    assert printed.plan_hash in "".join(" ".join(pages_of(printed.pdf)).split())


def test_cautions_defer_and_call_nothing_safe(paper):
    flat = " ".join(" ".join(pages_of(paper[1])).split())
    assert "manual comes" in flat and "catch fire" in flat
    assert not re.search(r"\b(is|are) (food[- ])?safe\b|approved", flat)


def test_contents_leave_out_what_is_not_there():
    sections = dict.fromkeys(SECTIONS, object()) | {"cards": None}
    assert [key for key, _ in contents_of(sections)] == [key for key in NAMES if key != "cards"]
