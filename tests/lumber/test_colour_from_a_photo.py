"""A wood gets the colour of its maker's own oiled piece, from a photo beside a card."""

from __future__ import annotations

import secrets

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse
from django.utils import timezone

from shopapp.common.models import AuditLine
from shopapp.common.tasks import run_waiting_tasks
from shopapp.common.verification import questions
from shopapp.lumber.colours.actions import keep_colour
from shopapp.lumber.models import ColourPhoto, WoodColour, WoodOnHand
from shopapp.lumber.planning import looks_on_hand, offers
from tests.support.shop import upload
from tests.support.wood_photos import IN_DAYLIGHT, OF_A_PIECE, PLACES, photo, photo_to_tap, shown


def sent(client, brought: ColourPhoto, **changes):
    form = client.get(brought.get_absolute_url()).context["form"]
    typed = {
        "card": "white",
        **PLACES,
        **OF_A_PIECE,
        "form_key": form.fresh_key(),
        "edit_version": form.fields["edit_version"].initial,
    }
    return client.post(brought.get_absolute_url(), {**typed, **changes})


def test_the_whole_way_from_a_photo_to_a_colour_seen_everywhere(owner_client, sapele):
    address = reverse("lumber:colour", args=["sapele"])
    assert "a stand-in, not measured" in shown(owner_client.get(address))
    sent_photo = {"photo": upload(photo(), "piece.jpg"), "form_key": secrets.token_urlsafe(24)}
    answer = owner_client.post(address, sent_photo)
    brought = ColourPhoto.objects.get()
    assert answer.status_code == 302 and answer.url == brought.get_absolute_url()
    assert "waits for its turn" in shown(owner_client.get(brought.get_absolute_url()))
    follow = reverse("lumber:colour_waiting", args=["sapele", brought.pk])
    assert "HX-Refresh" not in owner_client.get(follow).headers
    run_waiting_tasks()
    assert owner_client.get(follow).headers["HX-Refresh"] == "true"
    answer = sent(owner_client, brought)
    assert answer.status_code == 302 and answer.url == address
    sapele.refresh_from_db()
    assert (sapele.finished_rgb, sapele.colour_is_stand_in) == (IN_DAYLIGHT, False)
    assert offers()["sapele"].rgb == looks_on_hand()["sapele"].rgb == (147, 99, 81)
    colour = WoodColour.objects.get()
    assert colour.photo_id == ColourPhoto.objects.get().shown_id and colour.card == "white"
    assert colour.places == {"card": [150, 200], "wood": [450, 200]} and colour.taken_by.username == "mara"
    assert (
        "colour when oiled taken from a photo of offcut by the vice, a stand-in to #936351"
        in AuditLine.objects.first().what
    )
    page = shown(owner_client.get(address))
    assert "stand-in" not in page and "shown now" in page and "beside a plain white card" in page
    assert "a stand-in, not measured" not in shown(owner_client.get(reverse("lumber:wood", args=["sapele"])))


def test_the_older_colours_stay_with_their_dates_and_the_newest_is_shown(owner, owner_client, sapele):
    first = photo_to_tap(owner, "sapele")
    sent(owner_client, first)
    second = photo_to_tap(owner, "sapele", photo(wood=(90, 60, 40)))
    sent(owner_client, second)
    rgbs = list(WoodColour.objects.values_list("rgb", flat=True))
    sapele.refresh_from_db()
    assert len(rgbs) == 2 and rgbs[0] == sapele.finished_rgb != rgbs[1] == IN_DAYLIGHT
    page = shown(owner_client.get(reverse("lumber:colour", args=["sapele"])))
    day = f"{timezone.localtime():%Y}"
    assert page.count(day) >= 2 and page.count("shown now") == 1


def test_a_colour_set_by_eye_is_written_down_too_so_that_the_newest_is_always_the_one_shown(owner_client, sapele):
    form = owner_client.get(reverse("lumber:wood", args=["sapele"])).context["form"]
    typed = {b.name: str(b.field.prepare_value(b.value())) for b in form.visible_in_order()}
    typed |= {"form_key": form.fresh_key(), "edit_version": str(form.fields["edit_version"].initial)}
    owner_client.post(reverse("lumber:wood", args=["sapele"]), {**typed, "finished_rgb": "#4a3324"})
    colour = WoodColour.objects.get()
    assert (colour.rgb, colour.photo, colour.card) == ("#4a3324", None, "")
    assert "set by eye" in shown(owner_client.get(reverse("lumber:colour", args=["sapele"])))
    [faults] = [find for words, find in questions() if "newest of its colours" in words]
    assert faults() == []
    WoodOnHand.objects.filter(pk=sapele.pk).update(finished_rgb="#000000")
    assert faults() == ["Sapele is shown as #000000, but the newest colour it was given is #4a3324."]


@pytest.mark.storage
def test_a_colour_once_kept_is_neither_changed_nor_deleted(owner, owner_client, sapele):
    sent(owner_client, photo_to_tap(owner, "sapele"))
    for change in (lambda rows: rows.update(rgb="#000000"), lambda rows: rows.delete()):
        with pytest.raises(DatabaseError), transaction.atomic():
            change(WoodColour.objects.all())
    assert WoodColour.objects.get().rgb == IN_DAYLIGHT


def test_the_colour_is_shown_before_anything_is_kept(owner, owner_client, sapele):
    brought = photo_to_tap(owner, "sapele")
    swatch = reverse("lumber:colour_swatch", args=["sapele", brought.pk])
    answer = owner_client.get(swatch, {"card": "white", **PLACES})
    assert "In the photo" in shown(answer) and "Stand-in now" in shown(answer)
    assert answer.context["swatch"].rgb == IN_DAYLIGHT
    assert "Tap the card and the wood" in shown(owner_client.get(swatch))
    assert "reaches from 0 to 600" in shown(owner_client.get(swatch, {"card": "white", **PLACES, "wood_x": "601"}))
    assert sent(owner_client, brought, look="1").context["swatch"].rgb == IN_DAYLIGHT
    assert WoodColour.objects.count() == 0


def test_without_script_the_photo_is_tapped_as_a_button_of_a_form(owner, owner_client, sapele):
    brought = photo_to_tap(owner, "sapele")
    page = owner_client.get(brought.get_absolute_url())
    assert '<input type="image" name="tap"' in page.content.decode()
    # The photo of 600 by 400 stands there 280 wide.
    first = owner_client.get(brought.get_absolute_url(), {"place": "card", "tap.x": "70", "tap.y": "93"})
    form = first.context["form"]
    assert (form["card_x"].value(), form["card_y"].value(), form["wood_x"].value()) == (150, 199, None)
    places = {"card_x": "150", "card_y": "199", "wood_x": "", "wood_y": "", "card": "grey"}
    answer = owner_client.get(brought.get_absolute_url(), {**places, "place": "wood", "tap.x": "210", "tap.y": "93"})
    assert answer.context["form"]["wood_x"].value() == 450
    assert answer.context["form"]["card"].value() == "grey"
    assert answer.context["swatch"].rgb
    odd = {"tap.x": "9" * 30, "tap.y": "x", "card_x": "-5", "wood_y": "1e9", "card": "green"}
    assert owner_client.get(brought.get_absolute_url(), odd).context["form"].initial == {}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"card_x": ""}, "Card, from the left: Tap it in the photo, or write its place."),
        ({"wood_x": "601"}, "Wood, from the left: The photo reaches from 0 to 600. Write a number between."),
        ({"wood_y": "12.5"}, "Wood, from the top: Write a whole number of pixels."),
        ({"wood_x": "151"}, "Card and wood are tapped at the same place. Tap the middle of each."),
        ({"card": "green"}, "Choose one of the list."),
    ],
)
def test_places_that_tell_no_colour_are_refused_and_kept(owner, owner_client, sapele, changes, words):
    brought = photo_to_tap(owner, "sapele")
    answer = sent(owner_client, brought, **changes)
    assert answer.status_code == 422 and words in shown(answer)
    assert 'value="450"' in answer.content.decode() or "wood_x" in changes
    assert WoodColour.objects.count() == 0


def test_a_card_that_is_too_bright_is_said_beside_it(owner, owner_client, sapele):
    brought = photo_to_tap(owner, "sapele", photo(card=(255, 255, 255)))
    answer = sent(owner_client, brought)
    assert answer.status_code == 422
    assert "Card, from the left: The card is overexposed" in shown(answer)
    assert "a little darker" in answer.context["form"].errors["card_x"][0]


def test_what_makes_the_colour_doubtful_is_said_and_kept_with_it(owner, owner_client, sapele):
    brought = photo_to_tap(owner, "sapele", photo(card=(90, 90, 80)))
    swatch = owner_client.get(reverse("lumber:colour_swatch", args=["sapele", brought.pk]), {"card": "white", **PLACES})
    assert "lighter than the card can be" in shown(swatch)
    sent(owner_client, brought)
    assert "lighter than the card can be" in WoodColour.objects.get().remarks[0]


def test_sent_twice_it_is_kept_once(owner, owner_client, sapele):
    brought = photo_to_tap(owner, "sapele")
    form = owner_client.get(brought.get_absolute_url()).context["form"]
    typed = {"card": "white", **PLACES, **OF_A_PIECE, "form_key": form.fresh_key(), "edit_version": "1"}
    assert [owner_client.post(brought.get_absolute_url(), typed).status_code for _ in range(2)] == [302, 302]
    assert WoodColour.objects.count() == 1
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        owner_client.post(
            reverse("lumber:colour", args=["sapele"]), {"photo": upload(photo(), "piece.jpg"), "form_key": key}
        )
    assert ColourPhoto.objects.count() == 2


def test_the_second_of_two_who_change_the_wood_is_told(owner, owner_client, sapele):
    brought = photo_to_tap(owner, "sapele")
    keep = {"who": owner, "row": sapele, "photo": brought, "card": "grey", "seen_version": sapele.edit_version}
    form = owner_client.get(brought.get_absolute_url()).context["form"]
    keep_colour(**keep, places={"card": (150, 200), "wood": (450, 200)})
    typed = {"card": "white", **PLACES, **OF_A_PIECE, "form_key": form.fresh_key(), "edit_version": sapele.edit_version}
    answer = owner_client.post(brought.get_absolute_url(), typed)
    assert answer.status_code == 409 and "Somebody else changed this wood meanwhile" in shown(answer)
    assert WoodColour.objects.count() == 1
    again = {
        **typed,
        "form_key": secrets.token_urlsafe(24),
        "edit_version": answer.context["form"].data["edit_version"],
    }
    assert owner_client.post(brought.get_absolute_url(), again).status_code == 302
    assert WoodColour.objects.latest("pk").rgb == IN_DAYLIGHT


def test_a_photo_of_one_wood_is_not_found_under_another(owner, owner_client, sapele):
    brought = photo_to_tap(owner, "sapele")
    assert owner_client.get(reverse("lumber:colour_photo", args=["walnut-black", brought.pk])).status_code == 404
    assert owner_client.get(reverse("lumber:colour", args=["teak"])).status_code == 404


def test_a_wood_added_in_a_colour_of_ones_own_has_it_written_down(owner_client):
    from tests.lumber.test_woods_on_hand import add

    add(owner_client, finished_rgb="#4a3324")
    assert list(WoodColour.objects.values_list("rgb", flat=True)) == ["#4a3324"]
