"""The reckoning of a board changes with what is typed, keeps what was typed, and writes nothing."""

from __future__ import annotations

import json
import secrets
from fractions import Fraction

import pytest
from django.urls import reverse

from shopapp.common.models import AuditLine
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from tests.support.shop import add_woods, design_with_pattern, typed_board

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


def page(client, design, **typed):
    return client.get(reverse("plans:reckoning", args=[design.pk]), typed)


def test_the_first_reckoning_stands_without_anything_typed(owner_client, design):
    answer = page(owner_client, design)
    assert answer.status_code == 200
    assert answer.context["view"].figures["price"]["value"][1] is not None


def test_a_wider_pitch_makes_a_longer_board_and_a_higher_price(owner_client, design):
    small = page(owner_client, design, **typed_board()).context["view"]
    large = page(owner_client, design, **typed_board(pitch="25")).context["view"]
    # Six columns of 17 mm or 25 mm and two side borders of 51 mm.
    assert small.record["finished"][0] == str(6 * 17 + 2 * 51)
    assert large.record["finished"][0] == str(6 * 25 + 2 * 51)
    assert float(large.figures["price"]["value"][1]) > float(small.figures["price"]["value"][1])


def test_inches_typed_in_a_metric_shop_stay_exact(owner_client, design):
    view = page(owner_client, design, **typed_board(pitch='3/4"', side_border="2 in")).context["view"]
    assert Fraction(view.record["finished"][0]) == 6 * Fraction("19.05") + 2 * Fraction("50.8")


def test_htmx_gets_only_the_parts_that_change(owner_client, design):
    answer = owner_client.get(
        reverse("plans:reckoning", args=[design.pk]), typed_board(), headers={"HX-Request": "true"}
    )
    body = answer.content.decode()
    assert "<html" not in body and 'id="pays"' in body
    assert "HX-Request" in answer.headers["Vary"]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"pitch": "2"}, "pitch"),
        ({"pitch": "nonsense"}, "pitch"),
        ({"pitch": "7"}, "pitch"),
        ({"thickness": "0"}, "thickness"),
        ({"thickness": "40"}, "thickness"),
        ({"side_border": "-5"}, "side_border"),
        ({"quantity": "0"}, "quantity"),
        ({"quantity": "1,5"}, "quantity"),
        ({"margin": "100"}, "margin"),
        ({"border_wood": "unobtainium"}, "border_wood"),
        ({"end_border": "400"}, "end_border"),
    ],
)
def test_what_cannot_be_made_is_said_beside_its_field_and_what_was_typed_is_kept(owner_client, design, typed, field):
    answer = page(owner_client, design, **typed_board(**typed))
    assert answer.status_code == 422
    assert answer.context["form"].errors[field]
    if field != "border_wood":
        assert f'value="{typed[field]}"' in answer.content.decode()
    assert 'id="error-summary"' in answer.content.decode()


def test_a_margin_that_leaves_no_price_says_which_shares_add_up(owner_client, design):
    from shopapp.workshop.actions import change_settings

    fee = {"place": 0, "name": "stall", "percent": 0.3, "fixed": 0, "on_carriage": True, "on_tax": False}
    change_settings(who=owner_client_owner(), title="Selling", changes={}, fees=[fee], seen_version=0)
    answer = page(owner_client, design, **typed_board(margin="80"))
    assert answer.status_code == 200
    words = answer.context["view"].record["no_price"]
    assert "30 % stall" in words and "80 % margin" in words


def owner_client_owner():
    return Member.objects.get()


def test_reckoning_writes_nothing(owner_client, design):
    before = AuditLine.objects.count(), Plan.objects.count()
    page(owner_client, design, **typed_board(pitch="19"))
    assert (AuditLine.objects.count(), Plan.objects.count()) == before


def test_without_scripts_the_button_leads_to_an_address_of_the_same_board(owner_client, design):
    answer = owner_client.post(reverse("plans:reckoning", args=[design.pk]), {**typed_board(pitch="21"), "reckon": "1"})
    assert answer.status_code == 302 and "pitch=21" in answer.url
    assert Plan.objects.count() == 0


def test_a_design_set_aside_or_without_a_pattern_is_not_found_in_words(owner_client, design):
    design.set_aside = True
    design.save()
    assert page(owner_client, design).status_code == 404
    assert owner_client.get(reverse("plans:reckoning", args=[999])).status_code == 404


def keep(client, design, key=None, **typed):
    data = {**typed_board(**typed), "form_key": key or secrets.token_urlsafe(24)}
    return client.post(reverse("plans:reckoning", args=[design.pk]), data)


def test_keeping_freezes_what_was_shown(owner_client, design):
    shown = page(owner_client, design, **typed_board()).context["view"].record
    answer = keep(owner_client, design)
    plan = Plan.objects.get()
    assert answer.url == plan.get_absolute_url()
    kept = json.loads(plan.result)
    # The ways it was compared with are kept beside it.
    assert kept.pop("methods")["chosen"] == "runs-rows"
    assert kept == shown
    assert plan.matches_its_hash


def test_a_kept_plan_stays_when_the_workshop_changes(owner, owner_client, design):
    from shopapp.workshop.actions import change_settings

    keep(owner_client, design)
    before = owner_client.get(Plan.objects.get().get_absolute_url()).content
    change_settings(who=owner, title="Hours", changes={"hour": 99}, seen_version=0)
    after = owner_client.get(Plan.objects.get().get_absolute_url()).content
    assert _price(before) == _price(after)


def _price(page: bytes) -> str:
    return page.decode().split('<p class="big">')[1].split("</p>")[0]


def test_a_plan_sent_twice_is_kept_once(owner_client, design):
    key = secrets.token_urlsafe(24)
    keep(owner_client, design, key)
    keep(owner_client, design, key)
    assert Plan.objects.count() == 1


def test_a_form_without_any_field_keeps_no_plan_nobody_asked_for(owner_client, design):
    answer = owner_client.post(reverse("plans:reckoning", args=[design.pk]), {"form_key": secrets.token_urlsafe(24)})
    assert answer.status_code == 422 and Plan.objects.count() == 0


def test_what_is_kept_is_the_drawing_that_was_seen(owner, owner_client, design):
    from shopapp.designs.woods.actions import keep_pattern
    from shopapp.designs.woods.readers import wood_choices

    seen = page(owner_client, design).context["form"].fields["edit_version"].initial
    choices = wood_choices(design)
    keep_pattern(who=owner, design=design, choices=choices.suggestion, margin=2, grid_png=choices.grid_png)
    answer = keep(owner_client, design, edit_version=str(seen))
    assert answer.status_code == 422 and "Drawing 2 was kept meanwhile" in answer.content.decode()
    assert Plan.objects.count() == 0
    # What was typed and the new drawing's figures stand together, and sending it again keeps them.
    form = answer.context["form"]
    assert answer.context["view"].record["rows"] == 10
    keep(owner_client, design, key=form.fresh_key(), edit_version=str(form.data["edit_version"]))
    assert Plan.objects.get().version.number == 2


def test_a_page_opened_in_millimetres_is_still_read_in_them_after_the_shop_went_over_to_inches(
    owner, owner_client, design
):
    from shopapp.workshop.actions import change_settings

    opened = page(owner_client, design).content.decode()
    assert 'name="unit_shown" value="mm"' in opened
    change_settings(who=owner, title="Names", changes={"unit": "in"}, seen_version=0)
    keep(owner_client, design, unit_shown="mm")
    assert Plan.objects.get().record["spec"]["pitch"] == "17"
