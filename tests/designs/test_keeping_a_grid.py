"""A grid is written only when it is kept, with what was corrected, and kept for good."""

from __future__ import annotations

import io
import secrets

import numpy as np
import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse
from PIL import Image

from shopapp.common.images import image_bytes
from shopapp.common.models import AuditLine, StoredImage
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, KeptGrid
from shopapp.designs.pictures.actions import bring_picture
from tests.support.grids import BOAT, cells, keep, live, page_of
from tests.support.shop import picture, upload


@pytest.fixture
def design(owner):
    bring_picture(who=owner, name="Boat", upload=upload(picture(BOAT)))
    run_waiting_tasks()
    return Design.objects.get()


def test_nothing_is_written_until_the_grid_is_kept(owner_client, design):
    before = StoredImage.objects.count()
    page_of(owner_client, design, base=0, steps="at_x5.2", step="dl")
    assert (KeptGrid.objects.count(), StoredImage.objects.count()) == (0, before)


def test_a_grid_that_is_right_is_kept_as_it_was_read(owner_client, design):
    read = design.grid_id
    answer = keep(owner_client, design)
    assert answer.status_code == 302 and answer.url == reverse("designs:woods", args=[design.pk])
    kept = KeptGrid.objects.get()
    assert (kept.number, kept.made, kept.changes, kept.grid_id) == (1, "read", [], read)


def test_what_was_corrected_is_kept_with_the_design(owner_client, owner, design):
    shown = cells(owner_client, design, "dt_x4.2")
    keep(owner_client, design, "dt_x4.2")
    kept = KeptGrid.objects.get()
    assert (kept.made, kept.kept_by) == ("corrected", owner)
    assert kept.changes == ["one row fewer at the top", "background changed at row 5, column 3"]
    design.refresh_from_db()
    assert design.grid_id == kept.grid_id and (design.grid.height, design.grid.width) == (7, 7)
    assert "Grid 1 of Boat was kept. One row fewer at the top" in AuditLine.objects.first().what
    with Image.open(io.BytesIO(image_bytes(kept.grid))) as image:
        assert (np.asarray(image.convert("RGBA")) == shown).all()


def test_a_kept_grid_is_corrected_further_and_keeps_what_was_tapped_before(owner_client, design):
    keep(owner_client, design, "x5.2")
    now = live(owner_client, design)
    assert now["filled"][5] == "1000001" and now["untouched"]
    # The squares are read anew where a row is added, and the tapped ones stay background.
    assert live(owner_client, design, "ab", base=1)["filled"][5] == "1000001"
    keep(owner_client, design, "ab", base=1)
    second = KeptGrid.objects.first()
    assert (second.number, second.place["from"], second.changes) == (2, 1, ["one row more at the bottom"])
    # And the first reading can be gone back to.
    words = page_of(owner_client, design).content.decode()
    assert "8 rows of 7, 4 px a square, as it was first read" in words
    assert live(owner_client, design, "o0", base=2)["filled"][5] == "1111111"


def test_a_kept_grid_that_is_looked_at_once_more_is_not_kept_twice(owner_client, design):
    keep(owner_client, design, "dt")
    keep(owner_client, design, "", base=1)
    assert KeptGrid.objects.count() == 1


def test_a_grid_sent_twice_is_kept_once(owner_client, design):
    key = secrets.token_urlsafe(24)
    keep(owner_client, design, "dt", key=key)
    keep(owner_client, design, "dt", key=key)
    assert KeptGrid.objects.count() == 1


def test_the_second_of_two_who_keep_at_once_is_told_and_loses_nothing(owner_client, design):
    stale = design.edit_version
    keep(owner_client, design, "dt")
    answer = keep(owner_client, design, "dl", edit_version=stale)
    words = answer.content.decode()
    assert answer.status_code == 422 and "its newest grid is number 1, kept by mara" in words
    assert 'name="steps" value="dl"' in words and KeptGrid.objects.count() == 1
    assert keep(owner_client, design, "dl").status_code == 302


def test_a_grid_of_background_alone_is_not_kept(owner_client, design):
    filled = [(r, c) for r, row in enumerate(BOAT.split()) for c, letter in enumerate(row) if letter != "."]
    now, steps = live(owner_client, design), ""
    for row, column in filled:
        if now["filled"][row][column] == "1":
            now = live(owner_client, design, steps, f"x{row}.{column}")
            steps = now["steps"]
    assert "1" not in "".join(now["filled"])
    answer = keep(owner_client, design, steps)
    assert answer.status_code == 422 and "Every square is background now" in answer.content.decode()
    assert not KeptGrid.objects.exists()


@pytest.mark.storage
def test_a_kept_grid_cannot_be_changed_or_taken_away(owner_client, design):
    keep(owner_client, design)
    for change in ("UPDATE designs_keptgrid SET made = 'other'", "DELETE FROM designs_keptgrid"):
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(change)
