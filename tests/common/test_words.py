"""A shop is spoken to in the words it uses for its machines and its wood."""

from __future__ import annotations

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.common.words import in_shop_words
from shopapp.workshop.actions import change_settings
from tests.support.shop import add_woods, design_with_pattern


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("over the jointer or through the planer", "over the planer or through the thicknesser"),
        ("Planers and jointers", "Thicknessers and planers"),
        ("Lumber to saw", "Timber to saw"),
        ("no explanation", "no explanation"),
    ],
)
def test_all_words_change_at_once(written, said):
    assert in_shop_words(written, "planer") == said
    assert in_shop_words(written, "jointer") == written


def test_hints_and_refusals_follow_the_setting(owner, owner_client):
    page = reverse("workshop:section", args=["safe"])
    assert "over the jointer" in owner_client.get(page).content.decode()
    change_settings(
        who=owner,
        title="Names",
        changes={"words": "planer", "longest_rip": Length.of_mm(300)},
        seen_version=0,
    )
    assert "over the planer or through the thicknesser" in owner_client.get(page).content.decode()
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    body = owner_client.get(reverse("plans:reckoning", args=[design.pk])).content.decode()
    assert "over the planer or through the thicknesser" in body
