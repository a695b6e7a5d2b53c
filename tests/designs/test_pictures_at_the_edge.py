"""Pictures nobody would draw on squares: what comes of them is words or a page, and soon."""

from __future__ import annotations

import io
import secrets
import time

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design
from tests.support.shop import add_woods, picture


def png(rgb) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(np.asarray(rgb, dtype=np.uint8)).save(buffer, "PNG")
    return buffer.getvalue()


def bring(client, data: bytes, *, name: str = "flag.png", kind: str = "image/png", called: str = "Edge"):
    file = SimpleUploadedFile("x", data, content_type=kind)
    file._name = name  # as a hand-made request may call it
    answer = client.post(
        reverse("designs:bring"), {"name": called, "picture": file, "form_key": secrets.token_urlsafe(24)}
    )
    run_waiting_tasks()
    return answer


def test_a_picture_of_forty_thousand_colours_is_still_a_page_one_can_use(owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    codes = np.random.default_rng(1).permutation(2**24)[:40_000].reshape(200, 200)
    bring(owner_client, png(np.stack([codes >> 16, codes >> 8 & 255, codes & 255], axis=-1)))
    began = time.process_time()
    answer = owner_client.get(reverse("designs:woods", args=[Design.objects.get().pk]))
    # Two seconds on the machine this was written on; eighteen, and two gigabytes, before colours were asked in turn.
    assert time.process_time() - began < 8
    assert answer.status_code == 200 and "39744 rarer colours follow the nearest of these" in answer.content.decode()


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "../../etc/passwd",
        "a/b\\c.png",
        "x" * 300 + ".png",
        "Bild\u202egnp.exe",
        "🪵.png",
        "flag.png; rm",
        "COM1",
    ],
)
def test_whatever_a_file_is_called_it_is_stored_under_our_own_name(owner_client, name, settings):
    answer = bring(owner_client, picture(), name=name)
    assert answer.status_code in (302, 422)
    for design in Design.objects.select_related("original"):
        assert design.original.name.startswith("images/") and design.original.name[7:].isascii()
    stored = [path for path in settings.FILES.rglob("*") if path.is_file()]
    assert all(path.suffix == ".png" and len(path.stem) == 32 for path in stored)


@pytest.mark.parametrize("kind", ["text/html", "application/x-sh", "", "image/svg+xml"])
def test_what_a_file_claims_to_be_counts_for_nothing(owner_client, client, kind):
    bring(owner_client, picture(), kind=kind)
    design = Design.objects.get()
    assert design.is_read
    answer = owner_client.get(reverse("common:image", args=[design.original_id]))
    assert answer.headers["Content-Type"] == "image/png" and answer.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    ("rgb", "words"),
    [
        (np.full((16, 16, 3), 90), ""),
        (np.full((1, 1, 3), 90), ""),
        (np.arange(3 * 150).reshape(1, 150, 3) % 256, ""),
        (np.arange(3 * 150).reshape(150, 1, 3) % 256, ""),
        (np.random.default_rng(3).integers(0, 256, (201, 201, 3)), "200"),
    ],
    ids=["one colour", "one pixel", "one row", "one column", "201 squares"],
)
def test_a_picture_at_the_edge_becomes_a_page_or_words(owner_client, rgb, words):
    add_woods("sycamore", "walnut-black", "birch-yellow")
    assert bring(owner_client, png(rgb)).status_code == 302
    design = Design.objects.get()
    page = owner_client.get(design.get_absolute_url())
    assert page.status_code == 200
    assert design.is_read or (design.trouble and words in design.trouble)
    assert not design.incoming
