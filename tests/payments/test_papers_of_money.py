"""The paper of an invoice is made once, by the worker, from what was issued; it says what its page says."""

from __future__ import annotations

import html
import io
import re
import secrets
import shutil
import subprocess
from decimal import Decimal
from fractions import Fraction

import pikepdf
import pytest
from django.urls import reverse

from shopapp.common.tasks import run_waiting_tasks
from shopapp.payments.actions import expect
from shopapp.payments.deals import DealLine
from shopapp.payments.invoices.paper import money_pdf
from shopapp.payments.models import MoneyPaper
from shopapp.workshop.models import Workshop
from tests.support.money import credited, deal, invoiced, paid

SHOP = {
    "name": "Reedbank Workshop", "address": "Slip Lane 4\nReedbank", "mail": "boards@reedbank.example",
    "phone": "+00 555 0123", "tax_number": "RB 12 345", "pay_to": "Creek Bank, account RB00 1234",
}  # fmt: skip


def text_of(pdf: bytes) -> str:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    told = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    return " ".join(told.stdout.decode().split())


def cells_of(page: str, head: str) -> list[str]:
    """Every cell of the tables of a page after a heading, as one reads them."""
    part = page[page.index(head) :]
    cells = re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", part, re.S)
    return [" ".join(html.unescape(re.sub(r"<[^>]+>", "", cell)).split()) for cell in cells]


@pytest.fixture
def shop(db) -> Workshop:
    return Workshop.objects.update_or_create(pk=1, defaults=SHOP)[0]


@pytest.mark.parametrize("included", [True, False], ids=["held", "on top"])
def test_every_figure_of_the_page_stands_on_the_paper_and_who_writes_and_how_to_pay(owner_client, shop, included):
    account = expect(None, deal(tax_included=included))
    deposit = invoiced(None, account, "deposit")
    paid(None, deposit, "100")
    rest = invoiced(None, account, "rest")
    note = credited(None, rest, "12.34", "A scratch.")
    for row in (deposit, rest, note):
        flat, page = text_of(money_pdf(row)), owner_client.get(row.get_absolute_url()).content.decode()
        cells = cells_of(page, "What it says")
        assert len(cells) > 3 and [cell for cell in cells if cell not in flat] == [], row
        for words in (str(row), "Reedbank Workshop", "Slip Lane 4", "boards@reedbank.example", "Tax number RB 12 345"):
            assert words in flat, words
        assert "Wren Attwater" in flat and "3 Quay Row" in flat
    flat = text_of(money_pdf(rest))
    assert f"Less deposit invoice {deposit.reference}" in flat and "€ 100.00 was paid by" in flat
    assert "Creek Bank, account RB00 1234" in flat and f"Reference of the payment: {rest.reference}" in flat
    flat = text_of(money_pdf(note))
    assert f"It credits invoice {rest.reference}" in flat and "A scratch." in flat


def test_without_tax_no_line_of_it_stands_there_and_the_maker_s_sentence_does(shop):
    account = expect(None, deal(tax=Fraction(0)))
    flat = text_of(money_pdf(invoiced(None, account, words="No tax is charged by a shop of this size.")))
    assert "No tax is charged by a shop of this size." in flat
    assert not re.search(r"Tax(,| held)|[Ww]ithout tax|Before tax", flat)


def test_it_is_made_once_and_its_hash_kept_whatever_the_settings_become(owner, owner_client, shop):
    invoice = invoiced(owner, expect(owner, deal()))
    address = reverse("payments:pdf", args=[invoice.pk])
    assert owner_client.get(address).status_code == 404
    assert "being made" in owner_client.get(invoice.get_absolute_url()).content.decode()
    Workshop.objects.update(name="Another")
    run_waiting_tasks()
    stored = MoneyPaper.objects.get().document
    pdf = b"".join(owner_client.get(address).streaming_content)
    assert "Reedbank Workshop" in text_of(pdf)
    owner_client.post(reverse("payments:paper", args=[invoice.pk]), {"form_key": secrets.token_urlsafe(24)})
    run_waiting_tasks()
    assert MoneyPaper.objects.get().document == stored
    assert b"".join(owner_client.get(address).streaming_content) == pdf


def test_without_the_pdf_libraries_the_page_says_what_to_install(owner, owner_client, monkeypatch):
    import shopapp.common.paper as paper

    def missing():
        raise paper.PaperTrouble("This machine lacks the libraries that make PDFs. Install them as the README says.")

    monkeypatch.setattr(paper, "_engine", missing)
    invoice = invoiced(owner, expect(owner, deal()))
    run_waiting_tasks()
    page = owner_client.get(invoice.get_absolute_url()).content.decode()
    assert "lacks the libraries" in page and "Make the paper again" in page


def elements(node):
    for child in node.get("/K", []) if isinstance(node.get("/K"), pikepdf.Array) else [node.get("/K")]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from elements(child)


@pytest.mark.parametrize(("unit", "size"), [("mm", (595, 842)), ("in", (612, 792))])
def test_it_is_tagged_titled_in_english_on_the_shop_s_paper(db, unit, size):
    Workshop.objects.update_or_create(pk=1, defaults={**SHOP, "unit": unit})
    lines = tuple(DealLine(f"{'Wide ' * 12}board {n}", n, Decimal("1234.50")) for n in range(1, 19))
    invoice = invoiced(None, expect(None, deal(lines=lines)))
    with pikepdf.open(io.BytesIO(money_pdf(invoice))) as paper:
        root = paper.Root
        assert root.MarkInfo.Marked and str(root.Lang) == "en" and str(paper.docinfo.Title) == str(invoice)
        found = {str(one.get("/S")) for one in elements(root.StructTreeRoot)}
        assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/P"} <= found
        assert len(paper.pages) > 1
        assert {tuple(round(float(x)) for x in page.MediaBox[2:]) for page in paper.pages} == {size}
        for page in paper.pages:
            for font in page.Resources.get("/Font", {}).values():
                described = font.DescendantFonts[0].FontDescriptor
                assert "/FontFile2" in described or "/FontFile3" in described


def test_names_that_are_one_long_word_do_not_run_off_the_paper(db):
    long = "W" * 80
    Workshop.objects.update_or_create(pk=1, defaults={**SHOP, "name": long, "mail": f"{'m' * 60}@reedbank.example"})
    lines = (DealLine("W" * 200, 9999, Decimal("1234.50")),)
    account = expect(None, deal(label=long, for_whom=long, lines=lines))
    invoiced(None, account, "deposit", address=long)
    rest = invoiced(None, account, "rest", words="W" * 600)
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    boxes = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=money_pdf(rest), capture_output=True, check=True)
    wide = float(re.search(r'<page width="([\d.]+)"', boxes.stdout.decode())[1])
    ends = [float(end) for end in re.findall(r'xMax="([\d.]+)"', boxes.stdout.decode())]
    # The margin is 18 mm, 51 points.
    assert len(ends) > 40 and max(ends) <= wide - 50


def test_what_was_typed_is_text_on_the_paper_whatever_it_looks_like(shop):
    odd = "<b>bold</b> & <img src='http://127.0.0.1/x.png'>"
    assert odd in text_of(money_pdf(invoiced(None, expect(None, deal()), words=odd)))
