"""A shop that writes inches and dollars: no page and no paper of its own boards says a millimetre or another money."""

from __future__ import annotations

import html
import re
import secrets
import shutil
import subprocess

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.plans.book.paper import shop_book_pdf
from shopapp.plans.models import Plan
from shopapp.workshop.models import Workshop
from tests.support.books import book
from tests.support.shop import add_woods, design_with_pattern, typed_board

INCHES = {"pitch": "3/4", "thickness": "3/4", "side_border": "2", "end_border": "1 1/2", "quantity": "2"}
METRIC = re.compile(r"\d\s?(?:mm|cm)\b|millimet|€")


@pytest.fixture
def shop(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    # Every seam falls short, so that the warning is shown with its lengths.
    Workshop.objects.create(
        pk=1, unit="in", currency_symbol="$", currency_code="USD", least_carried=1, grip=in_mm("50.8")
    )
    return design_with_pattern(owner)


def in_mm(text: str) -> Length:
    return Length.of_mm(text)


def words_and_attributes(page: str) -> str:
    spoken = re.findall(r'(?:aria-label|title|alt)="([^"]*)"', page)
    return html.unescape(" ".join([re.sub(r"<[^>]+>", " ", page), *spoken]))


def test_every_length_of_a_board_is_in_inches_on_pages_and_paper(owner_client, shop):
    reckoning = reverse("plans:reckoning", args=[shop.pk])
    owner_client.post(reckoning, typed_board(**INCHES, form_key=secrets.token_urlsafe(24)))
    plan = Plan.objects.get()
    for page in (reckoning, f"{reckoning}?pitch=1/8", plan.get_absolute_url(), reverse("plans:plans"), "/",
                 reverse("designs:designs"), shop.get_absolute_url(), reverse("lumber:woods")):  # fmt: skip
        words = words_and_attributes(owner_client.get(page).content.decode())
        # Woods bought by 150 mm are wide as they are; their page rounds nothing away but says it in inches.
        assert not METRIC.search(words), (page, METRIC.search(words))
    if shutil.which("pdftotext"):
        paper = shop_book_pdf(book(plan.kept_by, plan, "letter"))
        done = subprocess.run(["pdftotext", "-", "-"], input=paper, capture_output=True, check=True)
        assert not METRIC.search(done.stdout.decode())


@pytest.mark.parametrize(
    ("kept", "shown"), [("50.8", "2"), ("19.05", "3/4"), ("19", "19 mm"), ("0.39688", "0.39688 mm")]
)
def test_a_length_is_shown_in_its_field_so_that_it_is_read_back_the_same(owner_client, shop, kept, shown):
    Workshop.objects.update(grip=Length.of_mm(kept))
    form = owner_client.get(reverse("workshop:section", args=["safe"])).context["form"]
    field = form.fields["grip"]
    assert field.prepare_value(form["grip"].value()) == shown
    assert field.read(shown) == Length.of_mm(kept)


def test_a_wood_starts_from_a_width_in_the_shops_own_unit(owner_client, shop):
    form = owner_client.get(reverse("lumber:add")).context["form"]
    assert form.fields["rough_width"].prepare_value(form["rough_width"].value()) == "6"
