"""The paper of a quote: one page, tagged, made by the worker, with everything that was written and nothing claimed."""

from __future__ import annotations

import io
import re
import secrets
import shutil
import subprocess
from decimal import Decimal

import pikepdf
import pytest
from django.urls import reverse

from shopapp.common.tasks import run_waiting_tasks
from shopapp.quotes.models import QuotePaper
from shopapp.quotes.paper import quote_pdf
from shopapp.workshop.models import Workshop
from tests.support import work


@pytest.fixture
def plan(owner):
    return work.kept(owner, use="serving")


def text_of(pdf: bytes) -> str:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    told = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    return " ".join(told.stdout.decode().split())


def elements(node):
    for child in node.get("/K", []) if isinstance(node.get("/K"), pikepdf.Array) else [node.get("/K")]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from elements(child)


def test_the_worker_makes_it_and_it_is_opened_from_the_quote(owner, owner_client, plan):
    quote = work.quote(owner, plan)
    assert "being made" in owner_client.get(quote.get_absolute_url()).content.decode()
    assert owner_client.get(reverse("quotes:pdf", args=[quote.pk])).status_code == 404
    run_waiting_tasks()
    address = reverse("quotes:pdf", args=[quote.pk])
    assert address in owner_client.get(quote.get_absolute_url()).content.decode()
    paper = owner_client.get(address)
    assert (
        paper.headers["Content-Type"] == "application/pdf" and quote.reference in paper.headers["Content-Disposition"]
    )
    first = QuotePaper.objects.get().document_id
    owner_client.post(reverse("quotes:paper", args=[quote.pk]), {"form_key": secrets.token_urlsafe(24)})
    run_waiting_tasks()
    assert QuotePaper.objects.get().document_id == first


def test_without_the_pdf_libraries_the_page_says_what_to_install(owner, owner_client, plan, monkeypatch):
    import shopapp.common.paper as paper

    def missing():
        raise paper.PaperTrouble("This machine lacks the libraries that make PDFs. Install them as the README says.")

    monkeypatch.setattr(paper, "_engine", missing)
    quote = work.quote(owner, plan)
    run_waiting_tasks()
    page = owner_client.get(quote.get_absolute_url()).content.decode()
    assert "lacks the libraries" in page and "Make the paper again" in page


def test_it_says_for_whom_what_for_how_much_and_until_when(owner, plan):
    Workshop.objects.update_or_create(
        pk=1, defaults={"name": "Reedbank Workshop", "tax": Decimal("0.2"), "tax_included": False}
    )
    quote = work.quote(owner, plan, carriage=Decimal("12.00"), left_out="Knives.", terms="Half on order.")
    flat = text_of(quote_pdf(quote))
    dated, until = (f"{day.day} {day:%B %Y}" for day in (quote.dated, quote.valid_until))
    for words in (
        f"Reedbank Workshop · Quote {quote.reference}", "Flag for the boathouse", "For Wren Attwater.",
        f"Dated {dated}, valid until {until}.", "As we spoke about it on the quay.", "204 mm long, 170 mm high",
        "made to serve dry food on", "The board €\u00a0240.00", "Carriage €\u00a012.00", "Before tax €\u00a0252.00",
        "Tax, 20\u00a0% €\u00a050.40", "To pay €\u00a0302.40", "Dust it with a dry cloth.", "Knives.", "Half on order.",
    ):  # fmt: skip
        assert " ".join(words.split()) in flat, words
    assert all(wood["name"] in flat for wood in plan.record["woods"])


def test_allergen_and_food_stand_as_the_plan_has_them_and_nothing_is_called_safe(owner, plan):
    flat = text_of(quote_pdf(work.quote(owner, plan)))
    woods = plan.record["woods"]
    told = {c["words"] for wood in woods for c in wood["cautions"] if c["kind"] in ("allergen", "food")}
    assert told and all(" ".join(words.split()) in flat for words in told)
    assert not any(c["words"] in flat for wood in woods for c in wood["cautions"] if c["kind"] == "dust")
    assert not re.search(r"\b(is|are) (food[- ])?safe\b|approved", flat)


def test_it_is_tagged_titled_in_english_with_its_fonts_embedded(owner, plan):
    quote = work.quote(owner, plan)
    with pikepdf.open(io.BytesIO(quote_pdf(quote))) as paper:
        root = paper.Root
        assert root.MarkInfo.Marked and str(root.Lang) == "en"
        assert str(paper.docinfo.Title) == f"Quote {quote.reference}: Flag for the boathouse"
        found = list(elements(root.StructTreeRoot))
        assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/P", "/Figure", "/L"} <= {str(e.get("/S")) for e in found}
        assert all(str(e.get("/Alt", "")) for e in found if str(e.get("/S")) == "/Figure")
        for page in paper.pages:
            for font in page.Resources.get("/Font", {}).values():
                described = font.DescendantFonts[0].FontDescriptor
                assert "/FontFile2" in described or "/FontFile3" in described


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_quote_as_long_as_it_may_be_stands_on_one_page(owner, plan, unit):
    Workshop.objects.update_or_create(pk=1, defaults={"unit": unit, "tax": Decimal("0.2"), "tax_included": False})
    words = "As it was agreed upon. " * 40
    quote = work.quote(
        owner, plan, words=words[:600], care=words[:300], left_out=words[:300], terms=words[:600],
        carriage=Decimal(9), title="W" * 80, for_whom="W" * 80,
    )  # fmt: skip
    with pikepdf.open(io.BytesIO(quote_pdf(quote))) as paper:
        assert len(paper.pages) == 1


def test_what_was_typed_is_text_on_the_paper_whatever_it_looks_like(owner, plan):
    flat = text_of(quote_pdf(work.quote(owner, plan, words="<b>bold</b> & <img src='http://127.0.0.1/x.png'>")))
    assert "<b>bold</b> & <img src='http://127.0.0.1/x.png'>" in flat
