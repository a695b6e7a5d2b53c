"""Marks of a grid from elsewhere, and woods that are not on hand, are asked about before anything is kept."""

from __future__ import annotations

import html
import re
import secrets

import pytest
from django.urls import reverse

from shopapp.designs.models import PatternVersion
from shopapp.lumber.models import WoodOnHand
from tests.support.shop import add_woods

GRID = "..##..\n.#@@#.\n..##.."


@pytest.fixture(autouse=True)
def woods(db):
    add_woods("sycamore", "walnut-black", "padauk")


def send(client, **given):
    return client.post(reverse("designs:pattern_in"), {"name": "Bell", "form_key": secrets.token_urlsafe(24), **given})


def sent_on(answer, **chosen) -> dict[str, str]:
    """The legend's page as a browser would send it on, with the choices changed."""
    form = answer.context["form"]
    given = {"name": form["name"].value(), "text": form["text"].value(), "kind": form["kind"].value() or ""}
    for i, (line, bound) in enumerate(form.legend_fields()):
        given |= {f"mark_{i}": line.mark, f"wood_{i}": chosen.get(line.mark, bound.value() or "")}
    return given


def guesses(answer) -> dict[str, str]:
    return {line.mark: line.guess for line in answer.context["form"].legend}


def test_every_mark_is_asked_about_and_what_looks_like_background_is_guessed(owner_client):
    asked = send(owner_client, text=GRID)
    assert asked.status_code == 200 and guesses(asked) == {".": "-", "#": "", "@": ""}
    assert "“#”, 6 cells" in asked.content.decode() and PatternVersion.objects.count() == 0
    assert "Read as 3 rows of 6, one letter a cell." in asked.content.decode()
    answer = send(owner_client, **sent_on(asked, **{"#": "walnut-black", "@": "padauk"}))
    assert answer.url == PatternVersion.objects.get().get_absolute_url()
    assert PatternVersion.objects.get().pattern.splitlines()[1] == (
        "1 -, 1 walnut-black, 2 padauk, 1 walnut-black, 1 -"
    )


def test_a_mark_left_without_a_wood_is_told_and_the_others_are_kept(owner_client):
    answer = send(owner_client, **sent_on(send(owner_client, text=GRID), **{"#": "walnut-black"}))
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["wood_2"]
    body = answer.content.decode()
    assert "wood, or background" in body and '<option value="walnut-black" selected>' in body
    assert html.unescape(re.search(r"<textarea[^>]*>\n?(.*?)</textarea>", body, re.S)[1]) == GRID


def test_names_of_woods_in_a_spreadsheet_are_guessed_whatever_their_letters(owner_client):
    name = WoodOnHand.objects.get(wood="walnut-black").name.upper()
    asked = send(owner_client, text=f"{name}\t\tpadauk\n\tPadauk\t{name}")
    assert guesses(asked) == {name: "walnut-black", "": "-", "padauk": "padauk", "Padauk": "padauk"}
    assert "Empty cells, 2 cells" in asked.content.decode()


def test_how_the_rows_are_divided_can_be_said_where_looks_deceive(owner_client):
    text = "b b\nbbb"
    assert send(owner_client, text="b b\nb b", kind="letters").context["form"].legend[1].mark == " "
    assert guesses(send(owner_client, text=text)) == {"b": "", " ": "-"}


def test_a_wood_never_had_is_named_and_another_may_stand_in_for_it(owner_client):
    asked = send(owner_client, text="1 sycamore, 2 purpleheart")
    body = asked.content.decode()
    assert "Purpleheart was never among your woods" in body and reverse("lumber:add") in body
    send(owner_client, **sent_on(asked, purpleheart="walnut-black"))
    assert PatternVersion.objects.get().pattern == "1 sycamore, 2 walnut-black"


def test_a_wood_added_meanwhile_answers_for_itself(owner_client):
    asked = send(owner_client, text="1 sycamore, 2 purpleheart, 1 teak")
    given = sent_on(asked, teak="walnut-black")
    row = WoodOnHand.objects.get(wood="padauk")
    row.pk, row.wood, row.name, row.mark = None, "purpleheart", "Purpleheart", "wedge"
    row.save(force_insert=True)
    assert send(owner_client, **given).status_code == 302
    assert PatternVersion.objects.get().pattern == "1 sycamore, 2 purpleheart, 1 walnut-black"


def test_a_wood_that_ran_out_may_stay_or_be_replaced(owner_client):
    WoodOnHand.objects.filter(wood="padauk").update(on_hand=False)
    asked = send(owner_client, text="1 sycamore, 2 padauk")
    body = asked.content.decode()
    assert asked.status_code == 200 and "not on hand now" in body and guesses(asked)["padauk"] == "padauk"
    send(owner_client, **sent_on(asked))
    assert PatternVersion.objects.get().pattern == "1 sycamore, 2 padauk"


def test_rows_changed_under_the_legend_are_asked_about_anew_with_the_answers_that_still_hold(owner_client):
    given = sent_on(send(owner_client, text=GRID), **{"#": "walnut-black", "@": "padauk"})
    again = send(owner_client, **{**given, "text": GRID.replace("@", "o")})
    assert again.status_code == 200 and guesses(again) == {".": "-", "#": "walnut-black", "o": ""}
    assert PatternVersion.objects.count() == 0


def test_a_grid_of_nothing_but_background_is_refused_with_its_legend_kept(owner_client):
    answer = send(owner_client, **sent_on(send(owner_client, text="..\n.."), **{".": "-"}))
    assert answer.status_code == 422 and "nothing to lay yet" in answer.content.decode()
    assert answer.context["form"].legend


def test_a_helper_is_not_sent_to_a_page_that_is_the_owners(client):
    from shopapp.people.models import Member

    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    body = send(client, text="1 sycamore, 2 purpleheart").content.decode()
    assert "never among your woods" in body and reverse("lumber:add") not in body
