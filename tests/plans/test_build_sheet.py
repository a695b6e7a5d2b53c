"""The build sheet is a tagged paper from which the pattern, the parts and the counts can be read back."""

from __future__ import annotations

import io
import re
import secrets
import shutil
import subprocess

import pikepdf
import pytest
from django.urls import reverse

from planner.measures import Length, format_length
from shopapp.common.tasks import run_waiting_tasks
from shopapp.plans.actions import keep_plan
from shopapp.plans.models import BuildSheet, Plan
from shopapp.plans.paper import build_sheet_pdf
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support.shop import add_woods, board, design_with_pattern


@pytest.fixture
def plan(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    return keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())


def ask(client, plan):
    return client.post(reverse("plans:sheet", args=[plan.pk]), {"form_key": secrets.token_urlsafe(24)})


def test_the_sheet_is_made_by_the_worker_and_opened_from_the_plan(owner_client, plan):
    ask(owner_client, plan)
    state = reverse("plans:sheet_state", args=[plan.pk])
    assert "being made" in owner_client.get(state).content.decode()
    run_waiting_tasks()
    page = owner_client.get(state).content.decode()
    assert reverse("plans:sheet_pdf", args=[plan.pk]) in page
    paper = owner_client.get(reverse("plans:sheet_pdf", args=[plan.pk]))
    assert paper.headers["Content-Type"] == "application/pdf"
    assert b"".join(paper.streaming_content).startswith(b"%PDF")


def test_a_sheet_asked_for_twice_is_made_once(owner_client, plan):
    ask(owner_client, plan)
    run_waiting_tasks()
    first = BuildSheet.objects.get().document_id
    ask(owner_client, plan)
    run_waiting_tasks()
    assert BuildSheet.objects.get().document_id == first


def test_a_sheet_that_does_not_stand_is_not_found_in_words(owner_client, plan):
    answer = owner_client.get(reverse("plans:sheet_pdf", args=[plan.pk]))
    assert answer.status_code == 404 and "no build sheet yet" in answer.content.decode()


def test_the_paper_is_tagged_titled_in_english_with_its_fonts_embedded(plan):
    with pikepdf.open(io.BytesIO(build_sheet_pdf(plan))) as paper:
        root = paper.Root
        assert root.MarkInfo.Marked and str(root.Lang) == "en"
        assert plan.title in str(paper.docinfo.Title)
        names = {str(e.get("/S")) for e in _elements(root.StructTreeRoot)}
        assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/P", "/Figure"} <= names
        figures = [e for e in _elements(root.StructTreeRoot) if str(e.get("/S")) == "/Figure"]
        assert all(str(figure.get("/Alt", "")) for figure in figures)
        for page in paper.pages:
            for font in page.Resources.get("/Font", {}).values():
                described = font.DescendantFonts[0].FontDescriptor
                assert "/FontFile2" in described or "/FontFile3" in described


@pytest.mark.parametrize(("unit", "paper_mm"), [("mm", (210, 297)), ("in", (215.9, 279.4))])
def test_the_paper_is_a4_or_letter_where_the_shop_writes_inches(plan, unit, paper_mm):
    """A4: ISO 216. Letter: 8.5 by 11 in, ANSI/ASME Y14.1. A PDF's point is 1/72 in."""
    Workshop.objects.update_or_create(pk=1, defaults={"unit": unit})
    with pikepdf.open(io.BytesIO(build_sheet_pdf(plan))) as paper:
        for page in paper.pages:
            assert [float(side) * 25.4 / 72 for side in page.MediaBox[2:]] == pytest.approx(paper_mm, abs=0.1)


def _elements(node):
    for child in node.get("/K", []) if isinstance(node.get("/K"), pikepdf.Array) else [node.get("/K")]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from _elements(child)


def text_of(pdf: bytes) -> str:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    return subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True
    ).stdout.decode()


def test_every_row_is_spelled_out_and_its_pieces_counted(plan):
    rows = " ".join(text_of(build_sheet_pdf(plan)).split()).split("Rows to lay")[1].split("Parts, and their size")[0]
    record = plan.record
    names = {w["wood"]: w["name"] for w in record["woods"]}
    for row in record["laid"]:
        pieces = []
        for part in (record["parts"][n] for n in row["parts"]):
            border = part["kind"] in ("side border", "through row")
            told = ("border" + (f" + {part['tiles']}" if part["tiles"] else "")) if border else str(part["tiles"])
            size = format_length(Length.of_mm(part["stages"]["crosscut"][0]), "mm", with_unit=False)
            pieces.append(re.escape(f"{names[part['wood']]} {told} ({size})"))
        # The count stands at the end of the row's first line, wherever that breaks.
        count = rf"(?: {len(pieces)}\b)?"
        found = re.search(rf"\b{row['number']} " + rf" ·{count} ".join(pieces) + count, rows)
        assert found, row
        assert re.search(rf"\) (?:· )?{len(pieces)}\b", found[0]), row


def test_the_paper_is_read_aloud_letter_by_letter(plan):
    flat = " ".join(text_of(build_sheet_pdf(plan)).split())
    assert "Lay from the left, grain along the row." in flat and "Spares left out." in flat
    assert plan.sha256[:12] in flat
    # No joined letters.
    assert not re.search("[\ufb00-\ufb06]", flat)


def test_every_part_stands_with_its_crosscut_length_and_count(plan):
    flat = " ".join(text_of(build_sheet_pdf(plan)).split())
    for part in plan.record["parts"]:
        length = format_length(Length.of_mm(part["stages"]["crosscut"][0]), "mm", with_unit=False)
        assert length in flat, part


def test_cautions_defer_and_never_call_a_board_safe(plan):
    flat = " ".join(text_of(build_sheet_pdf(plan)).split())
    assert "stand-off" in flat and "manual comes first" in flat and "catch fire" in flat
    assert not re.search(r"\b(is|are) (food[- ])?safe\b|approved", flat)


def test_the_paper_fetches_nothing_but_its_fonts(plan, monkeypatch):
    import shopapp.common.paper as paper

    engine = paper._engine()
    fetcher = paper._own_files_only(engine)
    for url in ("file:///etc/passwd", "http://127.0.0.1/", "data:text/plain,x"):
        with pytest.raises(ValueError, match="not fetched"):
            fetcher.fetch(url)


def test_without_the_pdf_libraries_the_page_says_what_to_install(owner_client, plan, monkeypatch):
    import shopapp.common.paper as paper

    def missing():
        raise paper.PaperTrouble("This machine lacks the libraries that make PDFs. Install them as the README says.")

    monkeypatch.setattr(paper, "_engine", missing)
    ask(owner_client, plan)
    run_waiting_tasks()
    page = owner_client.get(plan.get_absolute_url()).content.decode()
    assert "lacks the libraries" in page and "Make the build sheet" in page


def test_a_large_board_is_printed_too(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    rows = "\n".join("." + "kryyk" * 8 + "." for _ in range(40))
    design = design_with_pattern(owner, rows, "Large")
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    with pikepdf.open(io.BytesIO(build_sheet_pdf(plan))) as paper:
        assert len(paper.pages) >= 6
    assert Plan.objects.count() == 1
