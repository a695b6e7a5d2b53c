"""Photos of a piece: brought several at once, read by the worker, put in order, one chosen, said in words."""

from __future__ import annotations

import secrets

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from shopapp.common.files import file_path
from shopapp.common.images import MOST_BYTES
from shopapp.common.models import StoredImage
from shopapp.common.tasks import run_waiting_tasks
from shopapp.listings.models import PiecePhoto
from shopapp.listings.pieces.photos.actions import MOST, photos_awaited
from shopapp.listings.pieces.readers import chosen_photo
from shopapp.people.models import Member
from tests.support import pieces
from tests.support.picture_files import saved, speckled


@pytest.fixture
def heron(owner):
    return pieces.piece(owner)


def a_file(name: str = "front.png", seed: int = 5, data: bytes | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, saved(Image.fromarray(speckled(6, 9, seed))) if data is None else data)


def bring(client, piece, *files, key: str = ""):
    sent = {"form_key": key or secrets.token_urlsafe(24), "photos": list(files)}
    return client.post(reverse("listings:photos", args=[piece.pk]), sent)


def act(client, photo, what: str, **typed):
    sent = {"form_key": secrets.token_urlsafe(24), **typed}
    return client.post(reverse("listings:photo_act", args=[photo.pk, what]), sent)


def order(piece) -> list[int]:
    return list(piece.photos.filter(taken_away=False).order_by("place", "pk").values_list("pk", flat=True))


def test_several_photos_are_brought_at_once_and_each_is_kept_as_a_fresh_copy(owner_client, heron):
    key = secrets.token_urlsafe(24)
    for _ in range(2):
        files = [a_file(f"{n}.jpg", n) for n in range(3)]
        assert bring(owner_client, heron, *files, key=key).status_code == 302
    assert heron.photos.count() == 3, "sent twice, brought once"
    assert "waits for its turn" in owner_client.get(reverse("listings:photos_read", args=[heron.pk])).content.decode()
    names = photos_awaited()
    assert len(names) == 3
    run_waiting_tasks()
    photos = list(heron.photos.all())
    assert [(one.place, one.chosen, bool(one.image_id)) for one in photos] == [
        (1, True, True), (2, False, True), (3, False, True)
    ]  # fmt: skip
    assert photos_awaited() == set() and not any(file_path(name).exists() for name in names)
    assert (photos[0].image.width, photos[0].image.height) == (9, 6) and chosen_photo(heron) == photos[0]


def test_they_are_put_in_order_chosen_and_said_in_words_by_buttons(owner_client, heron):
    first, second, third = (pieces.a_photo(heron) for _ in range(3))
    act(owner_client, third, "earlier")
    assert order(heron) == [first.pk, third.pk, second.pk]
    act(owner_client, first, "later")
    act(owner_client, second, "later")
    assert order(heron) == [third.pk, first.pk, second.pk]
    act(owner_client, second, "choose")
    act(owner_client, second, "words", words="The heron from the left, in evening light")
    assert chosen_photo(heron).words == "The heron from the left, in evening light"
    page = owner_client.get(heron.get_absolute_url()).content.decode()
    assert page.index("evening light") < page.index("Seen from the front")
    act(owner_client, second, "away")
    assert chosen_photo(heron) == third and order(heron) == [third.pk, first.pk]
    assert "evening light" not in owner_client.get(heron.get_absolute_url()).content.decode()
    assert PiecePhoto.objects.filter(chosen=True).count() == 1


@pytest.mark.parametrize("data", [b"", b"not a picture", b"x" * (MOST_BYTES + 1)])
def test_what_is_no_picture_is_said_and_takes_the_place_of_none(owner_client, heron, data):
    answer = bring(owner_client, heron, a_file("plan.txt", data=data))
    run_waiting_tasks()
    page = owner_client.get(reverse("listings:photos", args=[heron.pk])).content.decode()
    if answer.status_code == 302:
        assert "told-error" in page and heron.photos.get().incoming == "" and chosen_photo(heron) is None
        act(owner_client, heron.photos.get(), "away")
        assert "None yet" in owner_client.get(reverse("listings:photos", args=[heron.pk])).content.decode()
    else:
        assert answer.status_code == 422 and not heron.photos.exists()
    assert not StoredImage.objects.filter(purpose="piece photo").exists()


def test_photos_that_are_too_much_together_are_refused_whole_and_none_is_kept_in_half(owner_client, heron):
    """What goes beyond the limit of a request is not let in, so that the last file would be cut off."""
    answer = bring(owner_client, heron, *(a_file(f"{n}.jpg", data=b"x" * (MOST_BYTES // 2)) for n in range(3)))
    assert answer.status_code == 422 and "Bring a few at a time" in answer.content.decode()
    assert not heron.photos.exists() and photos_awaited() == set()


def test_a_piece_has_no_more_photos_than_anybody_looks_at(owner, owner_client, heron):
    for _ in range(MOST):
        pieces.a_photo(heron)
    answer = bring(owner_client, heron, a_file())
    assert answer.status_code == 422 and f"has {MOST} photos" in answer.content.decode()
    assert heron.photos.count() == MOST and photos_awaited() == set()


def test_a_helper_sees_photos_and_brings_none(owner, heron):
    photo = pieces.a_photo(heron)
    client = Client()
    client.force_login(Member.objects.create_user("joss", password="x"))
    assert client.get(reverse("common:image", args=[photo.image_id])).status_code == 200
    assert bring(client, heron, a_file()).status_code == 403 and act(client, photo, "away").status_code == 403
    assert heron.photos.count() == 1 and not heron.photos.get().taken_away
