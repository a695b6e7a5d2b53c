"""What came between the page and its keeping is told, and nothing that was chosen is lost."""

from __future__ import annotations

import pytest
from django.urls import reverse

from shopapp.common.images import store_image
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.actions import add_drawing
from shopapp.designs.models import Design, PatternVersion
from shopapp.designs.pictures.actions import bring_picture
from shopapp.designs.planning import pattern_from_text
from shopapp.designs.woods.planning import StoredGrid
from shopapp.lumber.models import WoodOnHand
from tests.support.shop import FLAG, INKS, add_woods, picture, typed_woods, upload

GREEN = {**INKS, "g": (60, 90, 60)}


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = bring_picture(who=owner, name="Flag", upload=upload(picture(FLAG)))
    run_waiting_tasks()
    design.refresh_from_db()
    return design


def address(design):
    return reverse("designs:woods", args=[design.pk])


def correct_the_grid(design, drawing: str) -> None:
    Design.objects.filter(pk=design.pk).update(grid=store_image(picture(drawing, 1, GREEN), purpose="grid"))
    design.refresh_from_db()


def hexes(letters: str) -> list[str]:
    return ["{:02x}{:02x}{:02x}".format(*GREEN[letter]) for letter in letters]


def test_a_grid_corrected_meanwhile_is_told_and_its_old_colours_keep_their_woods(owner_client, design):
    typed = typed_woods(design, ["sycamore", "padauk", "walnut-black"], grid=str(design.grid_id))
    correct_the_grid(design, FLAG.replace("r", "g"))
    answer = owner_client.post(address(design), typed)
    assert answer.status_code == 422 and PatternVersion.objects.count() == 0
    assert "The grid was corrected meanwhile" in answer.content.decode()
    page = answer.context["page"]
    worn = dict(zip(StoredGrid(page.choices.grid_png).names, page.worn, strict=True))
    dark, pale, green = hexes("kyg")
    assert (worn[dark], worn[pale]) == ("sycamore", "padauk") and worn[green]
    # Its rows are drawn all the same, and the next press keeps what is then seen.
    assert page.preview.drawing
    again = {**typed, "grid": str(design.grid_id), f"wood_{green}": worn[green]}
    assert owner_client.post(address(design), again).status_code == 302
    assert set(PatternVersion.objects.get().choices["woods"]) == {dark, pale, green}


def test_a_live_look_at_a_corrected_grid_brings_its_colours_into_the_list(owner_client, design):
    typed = typed_woods(design, ["sycamore", "padauk", "walnut-black"], grid=str(design.grid_id), look="1")
    shown = owner_client.get(address(design)).context["page"]
    typed |= {"rows_shown": shown.rows_shown, "ways_shown": shown.ways_shown}
    correct_the_grid(design, FLAG.replace("r", "g"))
    body = owner_client.post(address(design), typed, HTTP_HX_REQUEST="true").content.decode()
    assert "The grid was corrected meanwhile" in body
    assert f'name="grid" value="{design.grid_id}"' in body and f'name="wood_{hexes("g")[0]}"' in body


def test_a_drawing_kept_meanwhile_is_told_once_and_yours_is_kept_beside_it(owner, owner_client, design):
    first = typed_woods(design, ["walnut-black", "birch-yellow", "padauk"])
    owner_client.post(address(design), first)
    typed = typed_woods(design, ["walnut-black", "birch-yellow", "sycamore"], edit_version="1")
    other = pattern_from_text("2 padauk")
    add_drawing(who=owner, design=design, pattern=other, made="bench")
    answer = owner_client.post(address(design), typed)
    assert answer.status_code == 422 and PatternVersion.objects.count() == 2
    assert "Drawing 2 was kept meanwhile by mara" in answer.content.decode()
    page = answer.context["page"]
    assert page.worn == ("walnut-black", "birch-yellow", "sycamore")
    again = owner_client.post(address(design), {**typed, "edit_version": page.form.data["edit_version"]})
    assert again.status_code == 302
    assert PatternVersion.objects.first().number == 3


def test_a_drawing_from_the_bench_is_named_where_the_choice_goes_on_from_an_older_one(owner, owner_client, design):
    owner_client.post(address(design), typed_woods(design, ["walnut-black", "birch-yellow", "sycamore"]))
    add_drawing(who=owner, design=design, pattern=pattern_from_text("2 padauk"), made="bench")
    answer = owner_client.get(address(design))
    assert answer.context["page"].worn == ("walnut-black", "birch-yellow", "sycamore")
    assert "Drawing 2 was not made here" in answer.content.decode()


def test_a_form_sent_twice_keeps_one_drawing(owner_client, design):
    typed = typed_woods(design, ["walnut-black", "birch-yellow", "sycamore"])
    for _ in range(2):
        assert owner_client.post(address(design), typed).status_code == 302
    assert PatternVersion.objects.count() == 1


def test_a_wood_that_ran_out_is_told_and_its_colours_are_in_the_wood_suggested(owner_client, design):
    owner_client.post(address(design), typed_woods(design, ["padauk", "birch-yellow", "sycamore"]))
    WoodOnHand.objects.filter(wood="padauk").update(on_hand=False)
    answer = owner_client.get(address(design))
    worn = answer.context["page"].worn
    assert worn[0] != "padauk" and worn[1:] == ("birch-yellow", "sycamore")
    assert "1 wood of drawing 1 is not on hand any more" in answer.content.decode()


def test_woods_kept_by_an_earlier_shop_as_a_list_are_shown_again(owner, owner_client, design):
    pattern, as_list = pattern_from_text("1 padauk"), {"woods": ["padauk", "", "sycamore"], "margin": 2}
    add_drawing(who=owner, design=design, pattern=pattern, made="woods", choices=as_list)
    page = owner_client.get(address(design)).context["page"]
    assert page.worn == ("padauk", "", "sycamore") and page.say.margin == 2


@pytest.mark.parametrize("source", ["blank", "pattern"])
def test_a_design_without_a_picture_has_no_colours_and_the_page_sends_back_with_a_word(owner_client, design, source):
    Design.objects.filter(pk=design.pk).update(source=source, grid=None)
    answer = owner_client.get(address(design), follow=True)
    assert answer.redirect_chain[-1][0] == design.get_absolute_url()
    assert "was not read from a picture" in answer.content.decode()
