"""Whatever an address asks of a grid or a reduction: words in answer, never a fault, and nothing is written."""

from __future__ import annotations

import pytest
from django.urls import reverse

from shopapp.common.models import StoredImage
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, KeptGrid
from shopapp.designs.pictures.actions import bring_picture
from tests.support.grids import BOAT, keep, live
from tests.support.shop import picture, upload

ODD = ["", " ", "x", "-1", "0", "1e309", "1" + "0" * 30, "NaN", "a\x00b", "٣", "🪵", '<b>&"', "x" * 5000, "1/3", "²"]


@pytest.fixture
def design(owner):
    bring_picture(who=owner, name="Boat", upload=upload(picture(BOAT)))
    run_waiting_tasks()
    return Design.objects.get()


@pytest.mark.parametrize(
    ("page", "names"),
    [
        ("designs:grid", ["base", "steps", "step", "by", "row"]),
        ("designs:grid_live", ["base", "steps", "step", "by"]),
        ("designs:grid_cells", ["base", "steps"]),
        ("designs:reduce", ["rows", "columns", "colours", "left", "width"]),
        ("designs:reduce_live", ["rows", "columns", "colours", "left", "width"]),
        ("designs:reduce_cells", ["rows", "columns", "colours", "left", "width"]),
        ("designs:whose", ["before", "purpose"]),
    ],
)
def test_odd_words_in_an_address_are_answered(owner_client, design, page, names):
    before = StoredImage.objects.count()
    address = reverse(page, args=[design.pk])
    found = []
    for name in names:
        for odd in ODD:
            asked = {name: odd} | ({"step": "tap", "column": "2"} if name == "row" else {})
            status = owner_client.get(address, asked).status_code
            if status not in ((200, 404) if page.endswith("cells") else (200,)):
                found.append((name, odd[:20], status))
    assert not found
    assert (StoredImage.objects.count(), KeptGrid.objects.count()) == (before, 0)


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ("n900000.0", "far outside of the picture"),
        ("n0.200", "would lie beside the picture"),
        ("n-120.0", "would lie beside the picture"),
    ],
)
def test_lines_that_leave_the_picture_are_refused_and_never_kept(owner_client, design, steps, words):
    assert words in live(owner_client, design, "", steps)["trouble"]
    answer = keep(owner_client, design, steps)
    assert answer.status_code == 422 and words in answer.content.decode()
    assert not KeptGrid.objects.exists()


@pytest.mark.parametrize(
    "typed",
    [
        {"base": "7"},
        {"base": "x"},
        {"base": ""},
        {"steps": "nonsense"},
        {"steps": "a\x00b"},
        {"steps": "at_" * 2000},
        {"edit_version": "x"},
    ],
)
def test_a_form_sent_with_nonsense_keeps_nothing_and_says_why(owner_client, design, typed):
    answer = keep(owner_client, design, "at", **typed) if "steps" not in typed else keep(owner_client, design, **typed)
    assert answer.status_code == 422 and "error-summary" in answer.content.decode()
    assert not KeptGrid.objects.exists()


def test_a_design_of_somebody_else_s_number_or_without_a_picture_has_no_grid(owner_client, design):
    for page in ("grid", "grid_live", "grid_cells", "reduce", "reduce_live", "reduce_cells", "whose"):
        assert owner_client.get(reverse(f"designs:{page}", args=[999])).status_code == 404
    Design.objects.update(set_aside=True)
    assert owner_client.get(reverse("designs:grid", args=[design.pk])).status_code == 404
