"""Labels lie where their paper has them, and a phone reads from each the page of its piece."""

from __future__ import annotations

import io
import secrets
import shutil
import subprocess
from itertools import combinations

import numpy as np
import pikepdf
import pytest
import zxingcpp
from django.urls import reverse
from PIL import Image

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.labels.actions import ask_for_labels
from shopapp.lumber.labels.codes import QUIET, code_matrix
from shopapp.lumber.labels.papers import PAPERS, Paper
from shopapp.lumber.labels.sheet import code_is_readable, labels_pdf
from shopapp.lumber.models import LabelSheet, StockPiece
from tests.support.rack import boards
from tests.support.shop import add_woods

SHOP = "https://shop.example"
POINT = 25.4 / 72


@pytest.fixture
def pieces(owner) -> list[StockPiece]:
    add_woods("walnut-black")
    return boards(owner, 5)


def sheet_of(pieces, paper: Paper = PAPERS["a4-24-70"], first: int = 1) -> LabelSheet:
    return ask_for_labels(who=None, pieces=pieces, paper=paper, first=first, address=SHOP)


def boxes(pdf: bytes) -> list[list[tuple[str, tuple[float, ...]]]]:
    """Of every page each label's address and its left, top, right and bottom in millimetres. A label is a link all
    over; the mark's own line within it is a smaller one."""
    pages = []
    with pikepdf.open(io.BytesIO(pdf)) as paper:
        for page in paper.pages:
            high = float(page.MediaBox[3])
            found: dict[str, tuple[float, ...]] = {}
            for link in page.get("/Annots", []):
                x0, y0, x1, y1 = (float(side) * POINT for side in link.Rect)
                box = (min(x0, x1), high * POINT - max(y0, y1), max(x0, x1), high * POINT - min(y0, y1))
                address = str(link.A.URI)
                found[address] = max(box, found.get(address, box), key=lambda b: (b[2] - b[0]) * (b[3] - b[1]))
            pages.append(list(found.items()))
    return pages


@pytest.mark.parametrize("key", PAPERS)
def test_every_label_lies_where_its_paper_has_it_and_on_the_sheet(owner, key):
    """Measured in the finished PDF against the paper's own numbers."""
    add_woods("walnut-black")
    paper = PAPERS[key]
    pieces = boards(owner, paper.a_sheet + 2)
    first, second = boxes(labels_pdf(sheet_of(pieces, paper)))
    assert (len(first), len(second)) == (paper.a_sheet, 2)
    for n, (address, (left, top, right, bottom)) in enumerate(first):
        row, column = divmod(n, paper.across)
        want_left = paper.left.mm + column * (paper.width.mm + paper.gap_across.mm)
        want_top = paper.top.mm + row * (paper.height.mm + paper.gap_down.mm)
        assert address == f"{SHOP}/woods/rack/{pieces[n].mark}/"
        assert (left, top) == pytest.approx((float(want_left), float(want_top)), abs=0.05)
        assert (right - left, bottom - top) == pytest.approx((float(paper.width.mm), float(paper.height.mm)), abs=0.05)
        assert left > -0.05 and top > -0.05
        assert right < float(paper.sheet_width.mm) + 0.05 and bottom < float(paper.sheet_height.mm) + 0.05
    for (_, one), (_, other) in combinations(first, 2):
        apart = one[2] <= other[0] + 0.05 or other[2] <= one[0] + 0.05
        assert apart or one[3] <= other[1] + 0.05 or other[3] <= one[1] + 0.05


def test_a_sheet_begun_is_begun_where_its_first_free_label_is(pieces):
    paper = PAPERS["a4-24-70"]
    found, second = boxes(labels_pdf(sheet_of(pieces, paper, first=23)))[:2]
    assert (len(found), len(second)) == (2, 3)
    assert found[0][1][:2] == pytest.approx((70.0, 0.5 + 7 * 37), abs=0.05)
    assert second[0][1][:2] == pytest.approx((0, 0.5), abs=0.05)


@pytest.mark.parametrize("text", [f"{SHOP}/woods/rack/W1/", "http://192.168.178.40:8000/woods/rack/W1234567abc/"])
def test_another_s_reader_reads_the_code(text):
    """zxing-cpp, which shares nothing with what wrote it."""
    dark = np.pad(np.array(code_matrix(text)), QUIET).repeat(4, axis=0).repeat(4, axis=1)
    (found,) = zxingcpp.read_barcodes(np.where(dark, 0, 255).astype(np.uint8))
    assert found.text == text and found.format == zxingcpp.BarcodeFormat.QRCode


@pytest.mark.parametrize("key", PAPERS)
def test_every_code_on_the_paper_is_read_and_names_its_piece(pieces, key):
    """The PDF drawn at 200 dots an inch, as an office printer would, and read from there."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm (poppler-utils) is missing")
    drawn = subprocess.run(
        ["pdftoppm", "-r", "200", "-gray", "-"],
        input=labels_pdf(sheet_of(pieces, PAPERS[key])),
        capture_output=True,
        check=True,
    ).stdout
    found = zxingcpp.read_barcodes(np.array(Image.open(io.BytesIO(drawn))))
    assert sorted(one.text for one in found) == sorted(f"{SHOP}/woods/rack/{piece.mark}/" for piece in pieces)


def test_the_paper_is_tagged_titled_and_says_mark_wood_size_and_day(pieces):
    pdf = labels_pdf(sheet_of(pieces))
    with pikepdf.open(io.BytesIO(pdf)) as paper:
        assert paper.Root.MarkInfo.Marked and str(paper.Root.Lang) == "en"
        assert "Labels of" in str(paper.docinfo.Title)
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    text = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    for words in ("W1", "W5", "Black walnut", "27 × 150 × 2000 mm", "2 Mar 2026"):
        assert words in text


def test_the_worker_makes_the_labels_and_anybody_of_the_shop_opens_them(owner, helper_client, pieces):
    typed = {"paper": "a4-24-70", "first": "1", "address": SHOP, "form_key": secrets.token_urlsafe(24)}
    answer = helper_client.post(reverse("lumber:labels"), {**typed, "tick": [pieces[0].pk, pieces[3].pk]})
    sheet = LabelSheet.objects.get()
    assert answer.url == sheet.get_absolute_url() and sheet.pieces == [pieces[0].pk, pieces[3].pk]
    state = reverse("lumber:label_sheet_state", args=[sheet.pk])
    assert "being made" in helper_client.get(state).content.decode()
    assert helper_client.get(reverse("lumber:label_sheet_pdf", args=[sheet.pk])).status_code == 404
    run_waiting_tasks()
    assert "Open the labels" in helper_client.get(state).content.decode()
    paper = helper_client.get(reverse("lumber:label_sheet_pdf", args=[sheet.pk]))
    assert b"".join(paper.streaming_content).startswith(b"%PDF")
    # Sent twice they are made once.
    helper_client.post(reverse("lumber:labels"), {**typed, "tick": [pieces[0].pk]})
    assert LabelSheet.objects.count() == 1


def test_labels_are_of_the_newest_delivery_or_of_what_the_rack_is_narrowed_to(owner, owner_client, pieces):
    boards(owner, 1, wood="padauk", place="loft")

    def offered(**asked) -> list[str]:
        groups = owner_client.get(reverse("lumber:labels"), asked).context["groups"]
        return [piece.mark for group in groups for piece in group.pieces]

    assert offered() == ["P6"]
    assert offered(wood="walnut-black", least="1900") == ["W1", "W2", "W3", "W4", "W5"]
    assert offered(place="loft") == ["P6"]
    assert offered(delivery=str(pieces[0].lot.delivery_id)) == ["W1", "W2", "W3", "W4", "W5"]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"first": "25"}, "first"),
        ({"first": "0"}, "first"),
        ({"address": "shop"}, "address"),
        ({"paper": "own", "width": "", "across": "3"}, "width"),
        ({"paper": "own", "across": "4"}, "width"),
        ({"paper": "own", "down": "9"}, "height"),
        ({"paper": "own", "height": "12", "down": "10"}, "height"),
        ({"paper": "another"}, "paper"),
        ({"tick": []}, "__all__"),
    ],
)
def test_what_does_not_fit_a_sheet_is_said_beside_its_field(owner_client, pieces, typed, field):
    own = {
        "sheet": "a4", "across": "3", "down": "8", "width": "70", "height": "37", "left": "0", "top": "0.5",
        "gap_across": "0", "gap_down": "0",
    }  # fmt: skip
    sent = {"paper": "a4-24-70", "first": "1", "address": SHOP, "tick": [pieces[0].pk], **own, **typed}
    answer = owner_client.post(reverse("lumber:labels"), {**sent, "form_key": secrets.token_urlsafe(24)})
    assert answer.status_code == 422 and list(answer.context["form"].errors) == [field]
    assert not LabelSheet.objects.exists()


def test_a_label_too_small_for_a_code_is_refused(pieces):
    tiny = Paper("a4", 4, 10, *(Length.of_mm(side) for side in (40, 15, 0, 0, 0, 0)))
    assert not code_is_readable(tiny, f"{SHOP}/woods/rack/W1/")
    with pytest.raises(PlannerError, match="too small"):
        sheet_of(pieces, tiny)
