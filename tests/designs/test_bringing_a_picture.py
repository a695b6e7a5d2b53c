"""A picture is kept raw and private, read by the worker, and shown beside the grid that was read."""

from __future__ import annotations

import secrets

import pytest
from django.conf import settings
from django.urls import reverse

from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design
from tests.support.shop import add_woods, picture, upload


def bring(client, data: bytes, name: str = "Flag", key: str | None = None):
    form = {"name": name, "picture": upload(data), "form_key": key or secrets.token_urlsafe(24)}
    return client.post(reverse("designs:bring"), form)


@pytest.fixture(autouse=True)
def woods(db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")


def test_a_picture_is_read_in_the_background_and_the_page_follows(owner_client):
    answer = bring(owner_client, picture())
    design = Design.objects.get()
    assert answer.url == design.get_absolute_url()
    waiting = owner_client.get(answer.url).content.decode()
    assert "waits for its turn" in waiting and "hx-get" in waiting
    run_waiting_tasks()
    assert owner_client.get(reverse("designs:reading", args=[design.pk])).headers["HX-Refresh"] == "true"
    read = owner_client.get(answer.url).content.decode()
    assert "6 rows of 6" in read and "4 pixels a square" in read


def test_the_bytes_as_they_came_are_thrown_away_once_read(owner_client):
    bring(owner_client, picture())
    kept = settings.FILES / Design.objects.get().incoming
    assert kept.exists()
    run_waiting_tasks()
    assert not kept.exists()
    assert Design.objects.get().incoming == ""


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "a drawing of lines (SVG)"),
        (b"%PDF-1.7 not a picture", "a PDF document"),
        (picture()[:60], "cannot be read"),
        (picture("..\n..", 1), "one colour"),
        (picture("k", 1), "single pixel"),
        (picture("k" * 201, 1), "one colour"),
        (picture("ky" * 101, 1), "202 cells wide"),
    ],
)
def test_what_cannot_be_read_is_said_in_plain_words(owner_client, data, words):
    bring(owner_client, data)
    run_waiting_tasks()
    page = owner_client.get(Design.objects.get().get_absolute_url())
    assert page.status_code == 200
    assert words.lower() in page.content.decode().lower()


@pytest.mark.parametrize(
    ("file", "name"),
    [("heron_at-low  water.final.png", "heron at low water.final"), ("a" * 120 + ".jpg", "a" * 80), ("Boat", "Boat")],
)
def test_without_a_name_it_is_called_as_its_file_is(owner_client, file, name):
    sent = upload(picture())
    sent.name = file
    owner_client.post(reverse("designs:bring"), {"name": " ", "picture": sent, "form_key": secrets.token_urlsafe(24)})
    assert Design.objects.get().name == name


def test_a_file_without_any_name_of_its_own_asks_for_one(owner_client):
    sent = upload(picture())
    sent.name = "_.png"
    answer = owner_client.post(reverse("designs:bring"), {"name": "", "picture": sent, "form_key": "k" * 32})
    assert answer.status_code == 422 and "Give the design a name" in answer.content.decode()


def test_where_something_else_is_to_be_mended_the_picture_is_asked_for_again(owner_client):
    """A browser does not keep a chosen file, and the page would come back without it unnoticed."""
    sent = {"name": "Flag", "picture": upload(picture()), "rights": "open", "licence": "", "form_key": "k" * 32}
    errors = owner_client.post(reverse("designs:bring"), sent).context["form"].errors
    assert "licence" in errors and "again as well" in errors["picture"][0]
    assert not Design.objects.exists()


def test_a_file_over_twelve_megabytes_is_refused_beside_the_field(owner_client):
    answer = bring(owner_client, b"\x89PNG" + b"0" * (12 * 1024 * 1024))
    assert answer.status_code == 422
    assert "12 MB" in answer.context["form"].errors["picture"][0]
    assert Design.objects.count() == 0


def test_no_file_and_no_name_are_said_and_the_name_typed_is_kept(owner_client):
    answer = owner_client.post(reverse("designs:bring"), {"name": "Boat", "form_key": secrets.token_urlsafe(24)})
    assert answer.status_code == 422
    assert "picture" in answer.context["form"].errors
    assert 'value="Boat"' in answer.content.decode()


def test_a_picture_sent_twice_is_brought_once(owner_client):
    key = secrets.token_urlsafe(24)
    bring(owner_client, picture(), key=key)
    bring(owner_client, picture(), key=key)
    assert Design.objects.count() == 1


def test_a_stored_picture_is_ours_and_only_for_those_signed_in(owner_client, client):
    bring(owner_client, picture())
    run_waiting_tasks()
    address = reverse("common:image", args=[Design.objects.get().original_id])
    answer = owner_client.get(address)
    assert answer.headers["Content-Type"] == "image/png"
    assert b"".join(answer.streaming_content).startswith(b"\x89PNG")
    assert owner_client.get(address, headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304
    owner_client.logout()
    assert owner_client.get(address).status_code == 302
