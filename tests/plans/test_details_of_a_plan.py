"""Details are ticked, refused in words, kept with the plan and told on its pages and its paper."""

from __future__ import annotations

import json
import re
import secrets

import pytest
from django.urls import reverse

from shopapp.plans.book.paper import book_html
from shopapp.plans.models import Plan
from shopapp.plans.planning import board_of_plan
from shopapp.plans.readers import RecordView
from tests.support.books import book
from tests.support.shop import add_woods, design_with_pattern, typed_board


@pytest.fixture
def address(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return reverse("plans:reckoning", args=[design_with_pattern(owner).pk])


def test_what_is_ticked_stands_in_the_hours_the_cost_and_the_address(owner_client, address):
    plain = owner_client.get(address, typed_board(use="serving")).context["view"]
    answer = owner_client.get(address, typed_board(use="serving", details=["feet", "mark"]))
    body, view = answer.content.decode(), answer.context["view"]
    assert [detail["key"] for detail in view.details] == ["feet", "mark"]
    assert "Hardware: 4" in body and float(view.figures["cost"]["value"][1]) > float(plain.figures["cost"]["value"][1])
    assert "Glue, abrasives, finish, hardware" in [share.name for share in view.shares()]
    # Without scripts the button leads to an address that says the same.
    sent = owner_client.post(address, {**typed_board(use="serving", details=["feet", "mark"]), "reckon": "1"})
    again = owner_client.get(sent.headers["Location"])
    assert [detail["key"] for detail in again.context["view"].details] == ["feet", "mark"]


@pytest.mark.parametrize(
    ("details", "words"),
    [(["hanger", "feet"], "not for a board made to hang"), (["wings"], "not among what is offered")],
)
def test_what_does_not_fit_is_said_beside_the_ticks_which_stay(owner_client, address, details, words):
    answer = owner_client.get(address, typed_board(details=details))
    assert answer.status_code == 422
    assert words in answer.context["form"].errors["details"][0]
    assert 'href="#id_details_0"' in answer.content.decode()
    ticked = re.findall(r'value="(\w+)"[^>]* checked', answer.content.decode())
    assert ticked == [key for key in ("feet", "hanger") if key in details]


def test_a_kept_plan_says_what_is_done_to_it_on_its_page_and_its_paper(owner_client, address):
    typed = typed_board(details=["hanger", "dedication"])
    owner_client.post(address, {**typed, "form_key": secrets.token_urlsafe(24)})
    plan = Plan.objects.get()
    assert board_of_plan(plan)["details"] == ("hanger", "dedication")
    body = owner_client.get(plan.get_absolute_url()).content.decode()
    assert "slots across the grain" in body and "The hanger is to bear" in body
    paper = " ".join(re.sub(r"<[^>]+>", " ", book_html(book(plan.kept_by, plan))).split()).replace("\u00a0", " ")
    # Two hangers, 60 mm from either end and in the middle of 25 mm.
    length = int(plan.record["finished"][0])
    assert "60 mm 12.5 mm" in paper and f"{length - 60} mm 12.5 mm" in paper


def test_plans_of_before_have_none(owner_client, address):
    owner_client.post(address, {**typed_board(), "form_key": secrets.token_urlsafe(24)})
    plan = Plan.objects.get()
    record, asked = json.loads(plan.result), json.loads(plan.inputs)
    del record["details"], asked["board"]["details"]
    plan.inputs = json.dumps(asked)
    assert RecordView(record, "", "mm").details == [] and board_of_plan(plan)["details"] == ()
