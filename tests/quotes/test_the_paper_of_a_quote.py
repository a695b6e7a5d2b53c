"""The paper of a quote: one page, tagged, made by the worker, with everything that was written and nothing claimed."""

from __future__ import annotations

import html
import io
import re
import secrets
import shutil
import subprocess
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pikepdf
import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.common.tasks import run_waiting_tasks
from shopapp.common.templatetags.shop import money
from shopapp.people.models import Member
from shopapp.quotes.models import QuotePaper
from shopapp.quotes.paper import quote_pdf
from shopapp.quotes.readers import shown_to_customer
from shopapp.workshop.models import Workshop
from tests.support import work


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
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
        pk=1,
        defaults={
            "name": "Reedbank Workshop",
            "address": "Mill Lane 3\nReedbank",
            "tax_number": "IE 000",
            "tax": Decimal("0.2"),
            "tax_included": False,
        },
    )
    quote = work.quote(owner, plan, carriage=Decimal("12.00"), left_out="Knives.", terms="Half on order.")
    flat = text_of(quote_pdf(quote))
    dated, until = (f"{day.day} {day:%B %Y}" for day in (quote.dated, quote.valid_until))
    for words in (
        "Reedbank Workshop", "Mill Lane 3", "Tax number IE 000", f"Quote {quote.reference}",
        "Flag for the boathouse", "For Wren Attwater.",
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
def test_a_quote_of_one_board_stands_on_one_page_however_much_there_is_to_say(owner, plan, unit):
    Workshop.objects.update_or_create(pk=1, defaults={"unit": unit, "tax": Decimal("0.2"), "tax_included": False})
    words = "As it was agreed upon. " * 40
    quote = work.quote(
        owner, plan, words=words[:600], care=words[:300], left_out=words[:300], terms=words[:600],
        called_off=words[:600], carriage=Decimal(9), deposit=Fraction(1, 2), title="W" * 80, for_whom="W" * 80,
    )  # fmt: skip
    with pikepdf.open(io.BytesIO(quote_pdf(quote))) as paper:
        assert len(paper.pages) == 1


def all_money(shown: dict, quote) -> set[str]:
    """Every amount that is told of a quote, as the shop writes it."""
    names = ("boards_come_to", "net", "tax", "gross", "deposit", "rest")
    amounts = [option[name] for option in shown["options"] for name in names]
    amounts += [amount for option in shown["options"] for _, amount in option["inside"]]
    return {money(amount, quote) for amount in amounts}


def test_boards_side_by_side_are_told_whole_and_every_figure_of_the_page_is_on_the_paper(owner, owner_client, plan):
    """What page, paper and link say is one record: each amount, size, wood and sentence of it is on both."""
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Decimal("0.2"), "tax_included": False})
    pair = work.beside(owner, plan, quantity=2)
    there = timezone.localdate() + timedelta(days=40)
    quote = work.quote(
        owner, plan, pair, work.another(owner), carriage=Decimal("12.00"), deposit=Fraction(1, 3), shows_sums=True,
        there_by=there, wanted_by=there - timedelta(days=5), called_off="The wood is yours once it is paid for.",
    )  # fmt: skip
    pdf = quote_pdf(quote)
    flat = text_of(pdf)
    page = " ".join(re.sub(r"<[^>]+>", " ", owner_client.get(quote.get_absolute_url()).content.decode()).split())
    shown = shown_to_customer(quote)
    for text, where in ((flat, "paper"), (html.unescape(page), "page")):
        text = " ".join(text.split())
        for words in all_money(shown, quote):
            assert " ".join(words.split()) in text, (where, words)
        for option in shown["options"]:
            assert option["proof"] in text and option["label"] in text
            for wood in option["woods"]:
                assert wood["name"] in text and wood["scientific"] in text
            assert all(words in text for words, _ in option["inside"])
        for name in ("varies", "bought", "whose_picture", "called_off", "terms", "care", "left_out", "late"):
            assert shown[name] and shown[name] in text, (where, name)
    with pikepdf.open(io.BytesIO(pdf)) as paper:
        assert 1 < len(paper.pages) <= 3
        figures = [e for e in elements(paper.Root.StructTreeRoot) if str(e.get("/S")) == "/Figure"]
        assert sum("the board in its woods" in str(e.get("/Alt", "")) for e in figures) == 3
    assert all(f"page {n} of" in flat for n in range(1, len(pikepdf.open(io.BytesIO(pdf)).pages) + 1))


def test_by_when_it_is_there_and_how_soon_that_asks_a_yes_stand_on_it(owner, plan):
    today = timezone.localdate()
    there, yes = today + timedelta(days=40), today + timedelta(days=7)
    quote = work.quote(owner, plan, there_by=there, accepted_by=yes, wanted_by=there - timedelta(days=1))
    said = [f"{day.day} {day:%B %Y}" for day in (there, yes, there - timedelta(days=1))]
    assert f"There by {said[0]} if it is accepted by {said[1]}, 1 day later than wanted ({said[2]})." in text_of(
        quote_pdf(quote)
    )


def test_a_heading_is_on_the_page_of_what_follows_it(owner, plan):
    boards = [plan, *(work.beside(owner, plan, quantity=n) for n in (2, 3, 4, 5))]
    pdf = quote_pdf(work.quote(owner, *boards, called_off="The wood is yours."))
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    pages = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    for page in pages.stdout.decode().split("\f"):
        lines = [line.strip() for line in page.splitlines() if line.strip() and not re.search(r"page \d+ of", line)]
        assert not lines or lines[-1] not in ("Flag", "Woods", "Price", "Terms", "Use and care", "If it is called off")


def test_the_inner_sum_is_shown_only_where_it_was_chosen(owner, plan):
    """Wood, supplies, hours and the rest add up to the price of the board."""
    plain, told = work.quote(owner, plan), work.quote(owner, plan, shows_sums=True)
    assert "Hours" not in text_of(quote_pdf(plain)) and shown_to_customer(plain)["options"][0]["inside"] == []
    inside = shown_to_customer(told)["options"][0]["inside"]
    assert sum(Decimal(amount) for _, amount in inside) == Decimal("240.00")
    labour = next(t["figure"]["value"][1] for t in plan.record["figures"]["cost_all"]["terms"] if t["name"] == "Labour")
    assert ["Hours", labour] in inside


def test_what_was_typed_is_text_on_the_paper_whatever_it_looks_like(owner, plan):
    flat = text_of(quote_pdf(work.quote(owner, plan, words="<b>bold</b> & <img src='http://127.0.0.1/x.png'>")))
    assert "<b>bold</b> & <img src='http://127.0.0.1/x.png'>" in flat
