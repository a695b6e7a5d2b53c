"""A piece the maker names is photographed dry, oiled, and again as it ages."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.models import AuditLine
from shopapp.lumber.colours.actions import SampleFacts, keep_colour, set_by_eye
from shopapp.lumber.colours.ageing import age_in_words, pieces_that_age
from shopapp.lumber.colours.readers import faults_of_colours, kept_colours, tones_of
from shopapp.lumber.models import WoodColour, WoodOnHand
from shopapp.workshop.gluing.actions import add_material
from shopapp.workshop.models import Finish
from tests.lumber.test_colour_from_a_photo import sent
from tests.support.wood_photos import IN_DAYLIGHT, photo, photo_to_tap, shown

SILL = "offcut on the window sill"
# As photographed beside the card of `wood_photos`; the second is lighter and yellower than the first, the third dry.
FRESH, AGED, BARE = (120, 80, 50), (140, 100, 62), (150, 118, 88)


def days_ago(days: int) -> date:
    return timezone.localdate() - timedelta(days=days)


def sample(owner, wood=FRESH, *, days: int = 0, row: str = "sapele", **facts) -> WoodColour:
    on_hand = WoodOnHand.objects.get(wood=row)
    return keep_colour(
        who=owner,
        row=on_hand,
        photo=photo_to_tap(owner, row, photo(wood=wood)),
        card="white",
        places={"card": (150, 200), "wood": (450, 200)},
        seen_version=on_hand.edit_version,
        facts=SampleFacts(seen_on=days_ago(days), **{"piece": SILL, **facts}),
    )


def ages(row: WoodOnHand):
    return pieces_that_age(kept_colours(row))


def test_what_the_maker_says_of_the_piece_is_kept_with_it(owner, owner_client, sapele):
    add_material(who=owner, model=Finish, values={"name": "Hard oil"})
    brought = photo_to_tap(owner, "sapele")
    answer = sent(owner_client, brought, piece="  offcut   on the sill ", finish="Hard oil", seen_on=str(days_ago(30)))
    assert answer.status_code == 302
    kept = WoodColour.objects.get()
    assert (kept.piece, kept.finish, kept.seen_on) == ("offcut on the sill", "Hard oil", days_ago(30))
    assert kept.state == "oiled" and timezone.localdate(kept.taken_at) == timezone.localdate()
    page = shown(owner_client.get(answer.url))
    assert "oiled, offcut on the sill, Hard oil, from a photo" in page


def test_the_day_of_the_photo_is_today_unless_the_form_says_another(owner, owner_client, sapele):
    form = owner_client.get(photo_to_tap(owner, "sapele").get_absolute_url()).context["form"]
    assert form["seen_on"].value() == timezone.localdate()
    assert "finish" not in form.fields, "no finish is offered where none is written down"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"seen_on": "2999-01-01"}, "The photo is of: That day is still to come. Write the day of the photo."),
        ({"seen_on": "0026-03-02"}, "The photo is of: That day is too long ago for a photo. Look at its year."),
        ({"seen_on": "2 March"}, "The photo is of: This is no day. Write it as 2026-12-18."),
        ({"seen_on": ""}, "The photo is of: Write the day of the photo."),
        ({"piece": " "}, "You call it: Give the piece a name, so that its next photo is found with it."),
        ({"piece": "x" * 61}, "You call it: This is too long: 61 characters. Write at most 60."),
        ({"state": "varnished"}, "The piece is: This is not among what is offered."),
        ({"state": "dry", "finish": "Hard oil"}, "With which finish: A dry piece has no finish on it."),
        ({"finish": "Varnish of nobody"}, "With which finish: This is not among what is offered."),
    ],
)
def test_what_cannot_be_is_refused_in_words_and_changes_nothing(owner, owner_client, sapele, changes, words):
    add_material(who=owner, model=Finish, values={"name": "Hard oil"})
    answer = sent(owner_client, photo_to_tap(owner, "sapele"), **changes)
    assert answer.status_code == 422 and words in shown(answer)
    assert 'value="450"' in answer.content.decode()
    sapele.refresh_from_db()
    assert WoodColour.objects.count() == 0 and sapele.colour_is_stand_in


def test_an_action_refuses_a_day_to_come_by_itself(owner, sapele):
    with pytest.raises(PlannerError, match="still to come"):
        sample(owner, days=-1)


def test_an_older_photo_brought_later_takes_its_place_and_the_newest_day_is_shown(owner, owner_client, sapele):
    sample(owner, FRESH, days=10)
    answer = sent(owner_client, photo_to_tap(owner, "sapele", photo(wood=AGED)), seen_on=str(days_ago(300)))
    assert "is shown oiled as before" in shown(owner_client.get(answer.url))
    sapele.refresh_from_db()
    assert sapele.finished_rgb == IN_DAYLIGHT and faults_of_colours() == []
    assert [kept.seen_on for kept in WoodColour.objects.all()] == [days_ago(10), days_ago(300)]


def test_a_dry_sample_leaves_the_oiled_look_alone_and_is_what_dry_is_drawn_in(owner, owner_client, sapele):
    before = sapele.finished_rgb
    kept = sample(owner, BARE, state="dry")
    sapele.refresh_from_db()
    assert sapele.finished_rgb == before and sapele.colour_is_stand_in
    assert tones_of(["sapele"]) == {"sapele": (before, kept.rgb)}
    assert f"Sapele: a sample of {SILL}, dry, taken from a photo, {kept.rgb}." == AuditLine.objects.first().what
    page = shown(owner_client.get(reverse("lumber:colour", args=["sapele"])))
    assert "shown now where it is dry" in page and "a stand-in, not measured" in page


def test_an_aged_piece_may_be_kept_without_the_wood_being_shown_like_it(owner, sapele):
    sample(owner, FRESH, days=90)
    sample(owner, AGED, days=1, stands_for_wood=False)
    sapele.refresh_from_db()
    assert sapele.finished_rgb == IN_DAYLIGHT and faults_of_colours() == []
    assert [one.now for one in kept_colours(sapele)] == ["", "shown now"]


def test_the_samples_of_a_piece_stand_in_the_order_of_their_days_whatever_the_order_they_came_in(owner, sapele):
    aged, first = sample(owner, AGED, days=10), sample(owner, FRESH, days=375)
    piece, *others = ages(sapele)
    assert (piece.name, others) == (SILL, [])
    assert [one.colour for one in piece.samples] == [first, aged]
    assert [one.age for one in piece.samples] == ["", age_in_words(days_ago(375), days_ago(10))]
    assert [one.since for one in piece.samples] == ["", "the first oiled one"]
    assert piece.samples[0].shift is None
    shift = piece.samples[1].shift
    assert shift.ways[0] == "lighter" and shift.seen == "like another wood" and 8 < shift.difference < 12


def test_a_sample_is_held_against_the_first_of_its_state_and_the_first_oiled_one_against_the_last_dry(owner, sapele):
    sample(owner, FRESH, days=60, state="dry")
    sample(owner, BARE, days=40, state="dry")
    oiled = sample(owner, FRESH, days=38)
    sample(owner, AGED, days=2)
    sample(owner, BARE, days=1, state="dry", piece="another")
    another, piece = ages(sapele)
    assert [one.since for one in piece.samples] == ["", "the first dry one", "it dry", "the first oiled one"]
    assert [one.age for one in piece.samples] == ["", "2 weeks later", "", "5 weeks later"]
    assert piece.samples[2].colour == oiled and piece.samples[2].shift.ways[0] == "darker"
    assert [one.shift for one in another.samples] == [None]


def test_the_page_says_how_long_after_and_what_is_seen(owner, owner_client, sapele):
    sample(owner, FRESH, days=28)
    sample(owner, FRESH, days=14)
    page = shown(owner_client.get(reverse("lumber:colour", args=["sapele"])))
    assert "oiled 2 weeks later: not to be seen CIEDE2000 0.0 from the first oiled one" in page
    assert "nothing is drawn between them or after them" in page


def test_a_piece_is_found_by_its_name_however_it_is_typed_but_not_in_another_wood(owner, sapele):
    sample(owner, days=20)
    again = sample(owner, piece="Offcut  on the WINDOW sill")
    other = sample(owner, row="walnut-black", piece="OFFCUT on the window sill")
    assert again.piece == SILL and other.piece == "OFFCUT on the window sill"
    assert [len(piece.samples) for piece in ages(sapele)] == [2]


def test_only_what_was_measured_stands_among_the_samples_of_a_piece(owner, sapele):
    set_by_eye(who=owner, row=sapele, state="oiled", rgb="#4a3324", seen_version=sapele.edit_version)
    # As every colour from a photo was kept before pieces had names.
    sample(owner, piece="")
    assert ages(sapele) == []


def test_another_photo_of_a_piece_begins_with_what_is_known_of_it(owner, owner_client, sapele):
    add_material(who=owner, model=Finish, values={"name": "Hard oil"})
    sample(owner, days=20, finish="Hard oil")
    address = reverse("lumber:colour", args=["sapele"])
    page = owner_client.get(address)
    again = page.context["pieces"][0].again
    assert f'?{again.replace("&", "&amp;")}"' in page.content.decode()
    assert f"Another photo of {SILL}" in shown(owner_client.get(f"{address}?{again}"))
    brought = photo_to_tap(owner, "sapele")
    page = owner_client.get(f"{brought.get_absolute_url()}?{again}")
    form = page.context["form"]
    assert [form[name].value() for name in ("piece", "state", "finish")] == [SILL, "oiled", "Hard oil"]
    # Where no script runs, the next tap says it again.
    assert '<input type="hidden" name="finish" value="Hard oil">' in page.content.decode()
    odd = {"piece": "a\x00b", "state": "wet", "finish": "x" * 500}
    assert owner_client.get(brought.get_absolute_url(), odd).context["form"].initial == {}


def test_bringing_the_photo_keeps_the_piece_in_the_address(owner_client, sapele):
    from tests.support.shop import upload

    address = f"{reverse('lumber:colour', args=['sapele'])}?piece=by+the+vice&state=dry"
    answer = owner_client.post(address, {"photo": upload(photo(), "piece.jpg"), "form_key": "k" * 32})
    assert answer.status_code == 302 and answer.url.endswith("/?piece=by+the+vice&state=dry")


@pytest.mark.parametrize("state", ["oiled", "dry"])
def test_a_colour_is_set_by_eye_for_either_state(owner_client, sapele, state):
    address = reverse("lumber:colour_by_eye", args=["sapele"])
    form = owner_client.get(address).context["form"]
    typed = {"state": state, "rgb": "#4a3324", "form_key": form.fresh_key(), "edit_version": "1"}
    answers = [owner_client.post(address, typed) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 302]
    kept = WoodColour.objects.get()
    assert (kept.state, kept.rgb, kept.photo, kept.seen_on) == (state, "#4a3324", None, timezone.localdate())
    oiled, dry = tones_of(["sapele"])["sapele"]
    assert (oiled == "#4a3324", dry == "#4a3324") == (state == "oiled", state == "dry")
    assert f"colour when {state} set by eye, #4a3324" in AuditLine.objects.first().what
    assert "set by eye" in shown(owner_client.get(reverse("lumber:colour", args=["sapele"])))


def test_by_eye_a_colour_that_is_none_is_refused_and_the_second_of_two_is_told(owner, owner_client, sapele):
    address = reverse("lumber:colour_by_eye", args=["sapele"])
    typed = {"state": "dry", "rgb": "brown", "form_key": "k" * 32, "edit_version": "1"}
    answer = owner_client.post(address, typed)
    assert answer.status_code == 422 and "six digits" in shown(answer) and WoodColour.objects.count() == 0
    set_by_eye(who=owner, row=sapele, state="oiled", rgb="#4a3324", seen_version=1)
    answer = owner_client.post(address, {**typed, "rgb": "#808080"})
    assert answer.status_code == 409 and "Somebody else changed this wood meanwhile" in shown(answer)
    assert WoodColour.objects.count() == 1


@pytest.mark.parametrize(
    ("first", "later", "words"),
    [
        (date(2026, 3, 2), date(2026, 3, 2), "the same day"),
        (date(2026, 3, 2), date(2026, 3, 3), "1 day later"),
        (date(2026, 3, 2), date(2026, 3, 15), "13 days later"),
        (date(2026, 3, 2), date(2026, 3, 16), "2 weeks later"),
        (date(2026, 3, 2), date(2026, 6, 1), "13 weeks later"),
        (date(2026, 3, 2), date(2026, 6, 2), "3 months later"),
        (date(2025, 3, 2), date(2027, 3, 1), "23 months later"),
        (date(2025, 3, 2), date(2027, 3, 2), "2 years later"),
        (date(2020, 2, 29), date(2028, 2, 28), "7 years later"),
    ],
)
def test_ages_are_said_in_whole_units_that_have_passed(first, later, words):
    assert age_in_words(first, later) == words


def test_whoever_helps_in_the_shop_may_not_set_a_colour(helper_client, sapele):
    assert helper_client.get(reverse("lumber:colour_by_eye", args=["sapele"])).status_code == 403
