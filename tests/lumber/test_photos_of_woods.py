"""Photos of woods come in by the one intake: copied small and bare by the worker, or given up in words."""

from __future__ import annotations

import io
import os
import secrets
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from planner.errors import PlannerError
from shopapp.common.files import file_path
from shopapp.common.images import image_bytes
from shopapp.common.tasks import run_waiting_tasks
from shopapp.common.tidying import tidy
from shopapp.lumber.colours.actions import bring_photo
from shopapp.lumber.models import ColourPhoto, WoodOnHand
from tests.support.shop import upload
from tests.support.wood_photos import PLACES, photo, photo_to_tap, shown


def test_only_a_small_bare_copy_is_kept_and_the_file_as_it_came_is_gone(owner, owner_client, sapele):
    exif = Image.Exif()
    exif[0x010F] = "where it was taken"
    buffer = io.BytesIO()
    Image.open(io.BytesIO(photo(3000, 2000))).save(buffer, "JPEG", exif=exif)
    row = WoodOnHand.objects.get(wood="sapele")
    brought = bring_photo(who=owner, row=row, upload=upload(buffer.getvalue(), "piece.jpg"))
    incoming = file_path(brought.incoming)
    assert incoming.exists()
    run_waiting_tasks()
    brought.refresh_from_db()
    assert brought.incoming == "" and not incoming.exists()
    assert (brought.shown.width, brought.shown.height) == (1000, 666)
    copy = image_bytes(brought.shown)
    assert b"where it was taken" not in copy and not Image.open(io.BytesIO(copy)).getexif()
    assert owner_client.get(reverse("common:image", args=[brought.shown_id])).status_code == 200


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"no photo at all", "damaged or no picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "whatever its name"),
    ],
)
def test_what_is_no_photo_is_said_on_the_page_that_waits(owner, owner_client, sapele, data, words):
    brought = photo_to_tap(owner, "sapele", data)
    page = shown(owner_client.get(brought.get_absolute_url()))
    assert brought.trouble in page and words in page and "Bring another photo" in page
    assert sent_to_nothing(owner_client, brought) == 404
    assert brought not in owner_client.get(reverse("lumber:colour", args=["sapele"])).context["photos"]


def sent_to_nothing(client, brought: ColourPhoto) -> int:
    return client.post(brought.get_absolute_url(), {"card": "white", **PLACES}).status_code


def test_an_empty_file_and_none_at_all_are_refused_in_words(owner, owner_client, sapele):
    address = reverse("lumber:colour", args=["sapele"])
    empty = {"photo": upload(b"", "piece.jpg"), "form_key": secrets.token_urlsafe(24)}
    assert "The file is empty" in shown(owner_client.post(address, empty))
    assert "Choose a photo." in shown(owner_client.post(address, {"form_key": secrets.token_urlsafe(24)}))
    with pytest.raises(PlannerError, match="larger than 12 MB"):
        bring_photo(who=owner, row=sapele, upload=upload(b"0" * (12 * 1024 * 1024 + 1)))


def test_a_photo_whose_task_was_lost_is_given_up_and_one_that_waits_keeps_its_bytes(owner, sapele):
    lost = bring_photo(who=owner, row=sapele, upload=upload(photo(), "piece.jpg"))
    ColourPhoto.objects.filter(pk=lost.pk).update(task="nobody")
    waits = bring_photo(who=owner, row=sapele, upload=upload(photo(), "piece.jpg"))
    for brought in (lost, waits):
        old = (timezone.now() - timedelta(days=3)).timestamp()
        os.utime(file_path(brought.incoming), (old, old))
    tidy()
    lost.refresh_from_db()
    assert "lost. Bring it again" in lost.trouble and lost.incoming == ""
    assert file_path(waits.incoming).exists()
