"""An ordinary picture is reduced to a grid the maker chooses, seen while it is chosen and kept when it is right."""

from __future__ import annotations

import io
import secrets
from dataclasses import asdict

import numpy as np
import pytest
from django.urls import reverse
from PIL import Image, ImageDraw

from shopapp.common.images import image_bytes
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, KeptGrid
from shopapp.designs.pictures.actions import bring_picture
from shopapp.designs.reducing.planning import Cut, share_that_serves
from shopapp.people.models import Member
from tests.support.grids import live as grid_live
from tests.support.shop import upload


def scene(width: int = 600, height: int = 400) -> bytes:
    """A dark disc on two flat fields, nothing of it on squares."""
    image = Image.new("RGB", (width, height), (236, 224, 196))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, height // 2, width, height), fill=(120, 150, 90))
    draw.ellipse((width // 3, height // 6, 2 * width // 3, 5 * height // 6), fill=(70, 40, 30))
    buffer = io.BytesIO()
    image.save(buffer, "PNG")
    return buffer.getvalue()


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def disc(owner):
    """Read once: a look for a grid that is not there is a long one."""
    design = bring_picture(who=owner, name="Disc", upload=upload(scene()))
    run_waiting_tasks()
    return design.pk


@pytest.fixture
def design(db, disc):
    return Design.objects.get(pk=disc)


WHOLE = {"left": 0, "top": 0, "width": 600, "height": 400, "rows": 20, "columns": 30, "colours": 4}


def show(client, design, **changes):
    return client.get(reverse("designs:reduce_live", args=[design.pk]), {**WHOLE, **changes})


def keep(client, design, key=None, **changes):
    design.refresh_from_db()
    typed = {**WHOLE, "form_key": key or secrets.token_urlsafe(24), "edit_version": design.edit_version, **changes}
    return client.post(reverse("designs:reduce", args=[design.pk]), typed)


def test_the_page_opens_with_the_whole_picture_in_its_own_shape(owner_client, design):
    form = owner_client.get(reverse("designs:reduce", args=[design.pk])).context["form"]
    assert {name: form[name].value() for name in ("left", "top", "width", "height", "columns", "rows")} == {
        "left": "0", "top": "0", "width": "600", "height": "400", "columns": "48", "rows": "32",
    }  # fmt: skip


def test_the_grid_is_seen_while_it_is_chosen_and_nothing_is_written(owner_client, design):
    shown = show(owner_client, design)
    words = shown.content.decode()
    assert "20 rows of 30" in words and "/reduce/cells.png?" in words and 2 <= shown.context["reduced"].colours <= 4
    answer = owner_client.get(reverse("designs:reduce_cells", args=[design.pk]), WHOLE)
    cells = np.asarray(Image.open(io.BytesIO(answer.content)).convert("RGBA"))
    assert cells.shape == (20, 30, 4)
    # The disc's middle is dark, the field below it green, and no square wears a mixture of two of them.
    assert cells[10, 15, 0] < 100 and cells[18, 1, 1] > cells[18, 1, 0]
    assert KeptGrid.objects.count() == 0


def test_a_cut_shows_that_part_of_the_picture_alone(owner_client, design):
    cut = {"left": 220, "top": 100, "width": 160, "height": 200, "rows": 10, "columns": 8}
    answer = owner_client.get(reverse("designs:reduce_cells", args=[design.pk]), {**WHOLE, **cut})
    cells = np.asarray(Image.open(io.BytesIO(answer.content)).convert("RGB"))
    assert cells.shape[:2] == (10, 8) and cells[5, 4, 0] < 100


def test_a_shape_that_is_not_the_picture_s_is_told_with_what_would_keep_it(owner_client, design):
    words = show(owner_client, design, rows=30).content.decode()
    assert "20 rows of 30 would keep its shape" in words and "narrower" in words
    assert "would keep its shape" not in show(owner_client, design).content.decode()


def test_what_is_kept_is_what_was_seen_with_its_cut_and_size(owner_client, owner, design):
    seen = owner_client.get(reverse("designs:reduce_cells", args=[design.pk]), WHOLE | {"left": 100, "width": 500})
    answer = keep(owner_client, design, left=100, width=500)
    assert answer.url == reverse("designs:woods", args=[design.pk])
    kept = KeptGrid.objects.get()
    assert (kept.number, kept.made, kept.kept_by) == (1, "reduced", owner)
    assert kept.place["reduction"] == {**WHOLE, "left": 100, "width": 500}
    assert kept.place["lattice"]["corners"][0] == [100, 0]
    assert kept.changes == [
        "reduced to 20 rows of 30 in at most 4 colours",
        "cut to 500 by 400 px, 100 px from the left and 0 px from the top",
    ]
    assert image_bytes(kept.grid) == seen.content
    design.refresh_from_db()
    assert design.is_read and design.trouble == "" and design.grid_id == kept.grid_id


def test_the_page_opens_again_with_what_was_kept(owner_client, design):
    keep(owner_client, design, rows=10, columns=15)
    form = owner_client.get(reverse("designs:reduce", args=[design.pk])).context["form"]
    assert (form["rows"].value(), form["columns"].value()) == ("10", "15")


def test_a_reduced_grid_s_lines_stay_and_its_background_can_be_changed(owner_client, design):
    keep(owner_client, design)
    assert "reduced from the picture" in grid_live(owner_client, design, "", "at")["trouble"]
    now = grid_live(owner_client, design, "", "x10.15")
    assert now["changes"].startswith("Background changed") and now["filled"][10][15] == "0"


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"rows": "201"}, "rows", "200"),
        ({"columns": "many"}, "columns", "“many” is not a whole number"),
        ({"colours": "1"}, "colours", "2"),
        ({"colours": "65"}, "colours", "64"),
        ({"left": "600"}, "left", "The picture is only 600 px"),
        ({"left": "100"}, "width", "Take at most 500 px"),
        ({"top": "10"}, "height", "Take at most 390 px"),
        ({"width": "0"}, "width", "1"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_what_was_typed_stays(owner_client, design, typed, field, words):
    answer = keep(owner_client, design, **typed)
    assert answer.status_code == 422 and words in " ".join(answer.context["form"].errors[field])
    name, value = next(iter(typed.items()))
    assert answer.context["form"][name].value() == value
    assert not KeptGrid.objects.exists()
    assert words in show(owner_client, design, **typed).content.decode()


def test_a_single_square_is_refused_in_words(owner_client, design):
    assert "single cell" in show(owner_client, design, rows=1, columns=1).content.decode()
    answer = keep(owner_client, design, rows=1, columns=1)
    assert answer.status_code == 422 and "single cell" in answer.content.decode()


def test_sent_twice_it_is_kept_once_and_the_second_of_two_is_told(owner_client, design):
    key, stale = secrets.token_urlsafe(24), design.edit_version
    keep(owner_client, design, key)
    keep(owner_client, design, key)
    assert KeptGrid.objects.count() == 1
    answer = keep(owner_client, design, edit_version=stale, colours=7)
    assert answer.status_code == 422 and "changed meanwhile" in answer.content.decode()
    assert answer.context["form"]["colours"].value() == "7"


def test_a_large_picture_is_reduced_from_its_smaller_copy_while_that_shows_enough():
    cut = Cut(0, 0, 4000, 3000, rows=36, columns=48, colours=8)
    assert share_that_serves(cut, 4000, 1600) == 0.4
    # A tenth of the picture in as many squares needs the picture itself.
    assert share_that_serves(Cut(**{**asdict(cut), "width": 400, "height": 300}), 4000, 1600) == 1
    assert share_that_serves(cut, 4000, None) == 1


def test_without_scripts_a_button_shows_what_was_chosen(owner_client, design):
    answer = keep(owner_client, design, show="1", rows=12, columns=18)
    assert answer.status_code == 200 and "12 rows of 18" in answer.content.decode()
    assert not KeptGrid.objects.exists()
