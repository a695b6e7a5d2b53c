"""The price of a plan in a browser: another price is tried without leaving the page, and all of it is printed."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest
from playwright.sync_api import expect

from tests.support import work
from tests.support.browser import sideways


@pytest.fixture
def plan(owner, transactional_db):
    return work.kept(owner)


def test_another_price_is_tried_and_what_lowers_it_is_reckoned(open_page, plan):
    page = open_page(f"/plans/{plan.pk}/price/", "phone")
    expect(page.get_by_role("heading", name="Price as kept")).to_be_visible()
    page.get_by_label("What if I ask").fill("15")
    expect(page.get_by_role("heading", name="If you ask")).to_be_visible()
    expect(page.locator("#price-answer")).to_contain_text("Below the cash floor")
    assert page.get_by_label("What if I ask").input_value() == "15" and not sideways(page)
    page.get_by_label("What if I ask").fill("fifteen")
    expect(page.locator("#id_ask_error")).not_to_be_empty()
    page.get_by_label("What if I ask").fill("")
    expect(page.get_by_role("heading", name="Price as kept")).to_be_visible()
    expect(page.locator("#id_ask_error")).to_be_empty()
    # What lowers it comes by itself, and is reckoned when it is tapped.
    way = page.get_by_role("link", name=re.compile("Five boards at once"))
    saved = page.locator("tr", has=way).locator("td").nth(1).inner_text()
    way.tap()
    page.wait_for_url(re.compile("/plans/reckon/.*quantity=5"))
    expect(page.locator("#pays .big")).to_have_text(re.sub(r"^Price\s*", "", saved).strip())


def test_what_is_printed_says_what_the_page_says_and_how_each_sum_is_reached(open_page, plan, tmp_path):
    page = open_page(f"/plans/{plan.pk}/price/")
    expect(page.locator("#lowering table").first).to_be_visible()
    amounts = page.evaluate(
        "() => [...document.querySelectorAll('#price-answer .amount, #price-answer td.n')]"
        ".filter(e => e.checkVisibility()).map(e => e.innerText)"
    )
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    paper = tmp_path / "price.pdf"
    page.pdf(path=str(paper), format="A4")
    printed = subprocess.run(["pdftotext", "-layout", paper, "-"], capture_output=True, text=True, check=True).stdout
    said = re.sub(r"\s+", "", printed)
    assert len(amounts) > 10
    for amount in amounts:
        assert re.sub(r"\s+", "", amount.replace("how?", "")) in said, amount
    assert "Howeachsumisreached" in said and "madereserve" not in said
    assert "Whatwouldloweritmost" not in said and "WhatifIask" not in said
