"""A board whose rows stand upright, and one of deep rows, through every page and paper of a plan."""

from __future__ import annotations

import json
import re
import secrets
from xml.etree import ElementTree

import pytest
from django.urls import reverse

from shopapp.plans.actions import keep_plan
from shopapp.plans.book.paper import book_html
from shopapp.plans.models import Plan
from shopapp.plans.readers import RecordView
from shopapp.workshop.readers import the_workshop
from tests.support.books import book
from tests.support.shop import add_woods, board, design_with_pattern, typed_board

# Background at all four sides; the second row is one with the third, the last two columns are one.
PICTURE = """
......
.kkk..
.kkk..
.krk..
......
"""


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner, PICTURE, "Post")


def kept(owner, design, **asked) -> Plan:
    return keep_plan(who=owner, version=design.versions.get(), board=board(**asked), workshop=the_workshop())


def words_of(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def boxes(svg: str) -> dict[str, set[tuple[float, ...]]]:
    """Of each fill the rectangles (left, top, width, height), rounded to a hundredth."""
    found: dict[str, set[tuple[float, ...]]] = {}
    for path in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}path"):
        if path.get("fill") != "none":
            corners = re.findall(r"M([-\d.]+) ([-\d.]+)h([\d.]+)v([\d.]+)", path.get("d"))
            found.setdefault(path.get("fill"), set()).update(tuple(round(float(n), 2) for n in box) for box in corners)
    return found


def covered(svg: str, x: float, y: float) -> set[str]:
    return {
        fill
        for fill, all_boxes in boxes(svg).items()
        for left, top, wide, high in all_boxes
        if left < x < left + wide and top < y < top + high
    }


def test_the_finished_board_looks_the_same_whichever_way_its_rows_run(owner, design):
    """Six by five tiles of 17 within 51 and 34: 204 wide and 153 high, with the red tile in the fourth row."""
    svgs = {}
    for along in ("rows", "columns"):
        view = RecordView(kept(owner, design, along=along).record, "Post", "mm")
        assert [size.mm for size in view.hanging_size] == [204, 153]
        svgs[along] = view.board()
        assert 'viewBox="0 0 204 153"' in svgs[along]
    red = 51 + 2.5 * 17, 34 + 3.5 * 17
    tones = [covered(svg, *red) for svg in svgs.values()]
    # A piece's tone may differ from way to way, its wood may not: no other place but the red one has it.
    others = [covered(svg, red[0] + 17, red[1]) | covered(svg, red[0], red[1] + 17) for svg in svgs.values()]
    assert all(len(tone) == 1 for tone in tones)
    assert not (tones[0] | tones[1]) & (others[0] | others[1])


def test_upright_rows_are_told_from_the_bottom_and_their_borders_by_where_they_hang(owner, owner_client, design):
    plan = kept(owner, design, along="columns", pitch=board()["pitch"])
    words = words_of(owner_client.get(plan.get_absolute_url()))
    for said in (
        "Rows run upright", "Left and right borders, each 51 mm", "Top and bottom borders, each 34 mm",
        "Wide, across the rows 204 mm", "High, along the rows 153 mm", "left or right border", "end border",
    ):  # fmt: skip
        assert said in words, said
    assert "side border" not in words.lower()
    view = RecordView(plan.record, "Post", "mm")
    # The third column, from the bottom: border and background, the red tile, two of black, background and border.
    runs = view.rows()[2].runs
    assert [(run.wood_name, run.tiles, run.border) for run in runs] == [
        ("American sycamore", 1, True), ("Padauk", 1, False), ("Black walnut", 2, False),
        ("American sycamore", 1, True),
    ]  # fmt: skip
    assert "row 1 at the left" in view.pattern()


def book_words(owner, plan) -> str:
    html = book_html(book(owner, plan))
    return " ".join(re.sub(r"<[^>]+>", " ", html.split("</head>")[1]).split())


def test_the_shop_book_says_how_upright_rows_hang_and_are_laid(owner, design):
    words = book_words(owner, kept(owner, design, along="columns"))
    for said in (
        "Hangs 204 mm wide and 153 mm high", "Built as runs along the rows, rows upright, to hang on a wall",
        "row 1 at its left", "bottom",
    ):  # fmt: skip
        assert said in words, said


def test_deep_rows_are_told_with_the_rows_of_the_picture_they_are_made_of(owner, design):
    plan = kept(owner, design, method="deep")
    # Rows of 102 mm background, black twice over, black with red, background.
    rows = RecordView(plan.record, "Post", "mm").rows()
    assert [(row.number, row.first, row.last) for row in rows] == [(1, 1, 1), (2, 2, 3), (3, 4, 4), (4, 5, 5)]
    assert "run of 3, 2 rows deep" in book_words(owner, plan)


def test_a_border_upright_rows_cannot_hold_is_marked_where_it_was_typed(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    bare = design_with_pattern(owner, "kkkk\n.kr.\nkkkk", "Bare")
    address = reverse("plans:reckoning", args=[bare.pk])
    page = owner_client.get(address, typed_board(along="columns"))
    assert page.status_code == 422
    assert "no background at its bottom and top" in page.context["form"].errors["end_border"][0]
    assert owner_client.get(address, typed_board(along="columns", end_border="0")).status_code == 200
    assert owner_client.get(address, typed_board()).status_code == 200


def test_an_address_and_a_plan_of_before_rows_could_stand_upright_run_from_side_to_side(owner, owner_client, design):
    address = reverse("plans:reckoning", args=[design.pk])
    page = owner_client.get(address, typed_board())
    assert page.status_code == 200 and page.context["view"].rows_run == "from side to side"
    posted = {**typed_board(), "form_key": secrets.token_urlsafe(24), "edit_version": "1"}
    assert owner_client.post(address, posted).status_code == 302
    old = json.loads(Plan.objects.get().result)
    del old["spec"]["along"]
    for row in old["laid"]:
        del row["first"], row["deep"]
    for part in old["parts"]:
        del part["deep"]
    view = RecordView(old, "Post", "mm")
    assert not view.is_upright and not view.has_deep_rows and [size.mm for size in view.hanging_size] == [204, 153]
    assert [row.first for row in view.rows()] == [1, 2, 3, 4, 5]
    assert view.parts() and "row 1 at the top" in view.pattern() and "5 rows" in view.board()
