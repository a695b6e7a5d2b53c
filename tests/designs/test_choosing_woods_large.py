"""Pictures of many colours and the largest side: the page stays light, asks as often, and remembers what it found."""

from __future__ import annotations

import pytest
from django.core.cache import cache
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shopapp.common.images import store_image
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.woods import planning
from tests.support.shaded import shaded
from tests.support.shop import add_woods, typed_woods

EIGHT = ("sycamore", "birch-yellow", "beech", "sapele", "walnut-black", "padauk", "cherry-black", "purpleheart")


def design_of(png: bytes) -> Design:
    image = store_image(png, purpose="grid")
    reading = {"rows": image.height, "columns": image.width, "scale": 1, "kind": "native", "seen": []}
    return Design.objects.create(name="Dunes", original=image, shown=image, grid=image, reading=reading)


@pytest.fixture
def dunes(owner):
    add_woods(*EIGHT)
    return design_of(shaded(128, 40))


def address(design):
    return reverse("designs:woods", args=[design.pk])


def test_forty_colours_and_eight_woods_are_matched_shown_and_kept(owner_client, dunes):
    page = owner_client.get(address(dunes)).context["page"]
    assert len(page.rows) == 40 and len(page.ways) >= 2 and len(page.fewest) >= 3
    # With a row of its own for each near group the list is shorter, and every colour still has its wood.
    near = owner_client.post(address(dunes), typed_woods(dunes, page.worn, within="8", look="1")).context["page"]
    assert len(near.rows) < 40 and len(near.worn) == 40
    typed = typed_woods(dunes, near.worn, within="8", behind=near.say.behind)
    assert owner_client.post(address(dunes), typed).status_code == 302
    assert len(PatternVersion.objects.get().choices["woods"]) == 40


def test_a_board_too_long_to_cut_has_no_cost_and_the_page_says_why(owner_client, dunes):
    page = owner_client.get(address(dunes)).context["page"]
    assert all(way.cost.record is None for way in page.ways)
    assert "the longest part out of a 1200 mm length" in page.cost_trouble


def test_many_columns_are_reckoned_in_smaller_tiles_and_the_page_says_in_which(owner_client, owner):
    add_woods(*EIGHT)
    design = design_of(shaded(72, 6))
    answer = owner_client.get(address(design))
    board = answer.context["page"].board
    # 72 tiles of 17 mm are 1224 mm; 12 mm is the first of the smaller ones with which a row comes out of 1200 mm.
    assert str(board.sizes["pitch"].mm) == "12" and board.smaller
    assert "larger tiles could not be cut" in answer.content.decode()


def test_a_noisy_picture_of_the_largest_side_makes_no_page_of_megabytes(owner_client, owner):
    add_woods(*EIGHT)
    design = design_of(shaded(200, 250, noise=0.8))
    answer = owner_client.get(address(design))
    page = answer.context["page"]
    assert not page.preview.marked and "marks are left out" in answer.content.decode()
    assert len(answer.content) < 600_000


def test_the_page_asks_as_often_for_many_colours_as_for_few(owner_client, dunes):
    few = design_of(shaded(8, 3))
    counts = set()
    for design in (few, dunes):
        owner_client.get(address(design))
        with CaptureQueriesContext(connection) as taken:
            owner_client.get(address(design))
        counts.add(len(taken))
    assert len(counts) == 1 and counts.pop() <= 8


def test_what_was_matched_once_is_not_matched_again_while_nothing_it_rests_on_changes(owner_client, dunes, monkeypatch):
    cache.clear()
    asked = []
    for name in ("alternatives", "fewest_woods"):
        real = getattr(planning, name)
        monkeypatch.setattr(planning, name, lambda *a, real=real, name=name, **k: asked.append(name) or real(*a, **k))
    worn = owner_client.get(address(dunes)).context["page"].worn
    first = list(asked)
    assert "alternatives" in first and first.count("fewest_woods") == 1
    # A colour changed by hand, or the margin, asks for nothing new; a wood left out does.
    owner_client.post(address(dunes), typed_woods(dunes, [worn[1], *worn[1:]], margin="2", look="1"))
    assert asked == first
    owner_client.post(address(dunes), typed_woods(dunes, worn, look="1", bar_padauk="on"))
    assert len(asked) > len(first)


def test_a_live_change_of_one_colour_does_not_send_the_ways_again(owner_client, dunes):
    page = owner_client.get(address(dunes)).context["page"]
    shown = {"ways_shown": page.ways_shown, "rows_shown": page.rows_shown, "behind": page.say.behind, "look": "1"}
    typed = typed_woods(dunes, page.worn, margin=str(page.say.margin), **shown)
    same = owner_client.post(address(dunes), typed, HTTP_HX_REQUEST="true").content.decode()
    assert 'id="ways"' not in same and 'id="colours"' not in same and "<svg" in same
    barred = owner_client.post(address(dunes), {**typed, "bar_padauk": "on"}, HTTP_HX_REQUEST="true").content.decode()
    assert 'id="ways"' in barred and 'id="colours"' not in barred
    near = owner_client.post(address(dunes), {**typed, "within": "8"}, HTTP_HX_REQUEST="true").content.decode()
    assert 'id="ways"' in near and 'id="colours"' in near
