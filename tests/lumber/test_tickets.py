"""The ticket is photographed in the yard: a clean copy stands on the delivery's page, for the owner's eyes."""

from __future__ import annotations

import secrets

import pytest
from django.urls import reverse

from shopapp.common.images import drop_old_incoming, file_path
from shopapp.common.models import AuditLine, StoredImage
from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.buying.tickets.actions import MOST_PHOTOS, tidy_tickets
from shopapp.lumber.buying.tickets.readers import tickets_awaited, tickets_of
from shopapp.lumber.models import Delivery, TicketPhoto
from tests.support.rack import delivery, line
from tests.support.shop import add_woods, upload
from tests.support.wood_photos import photo, shown


@pytest.fixture
def bought(owner) -> Delivery:
    add_woods("walnut-black")
    return delivery(owner, line())


def bring(client, bought: Delivery, data: bytes | None = None, key: str = ""):
    sent = {"photo": upload(photo(kind="JPEG") if data is None else data, "ticket.jpg")}
    sent["form_key"] = key or secrets.token_urlsafe(24)
    return client.post(reverse("lumber:tickets", args=[bought.pk]), sent)


def page(client, bought: Delivery) -> str:
    return client.get(bought.get_absolute_url()).content.decode()


def test_a_photo_is_brought_waits_and_stands_on_the_page(owner_client, bought):
    assert bring(owner_client, bought).url == f"{bought.get_absolute_url()}#ticket"
    state = reverse("lumber:tickets_state", args=[bought.pk])
    assert state in page(owner_client, bought) and "A photo is being copied" in shown(owner_client.get(state))
    run_waiting_tasks()
    copy = TicketPhoto.objects.get().shown
    part = owner_client.get(state).content.decode()
    assert "hx-get" not in part and f"/pictures/{copy.pk}.png" in part and "The ticket, photo 1" in part
    assert not list(file_path("incoming").glob("*")) and tickets_awaited() == set()
    assert "A photo of the ticket was brought" in AuditLine.objects.first().what


def test_several_photos_stand_in_the_order_they_came(owner_client, bought):
    for width in (600, 400):
        bring(owner_client, bought, photo(width=width))
    assert tickets_of(bought).waiting == 2 and "2 photos are being copied" in page(owner_client, bought)
    run_waiting_tasks()
    assert [image.width for image in tickets_of(bought).shown] == [600, 400]


def test_only_the_owner_sees_it(owner_client, client, bought, django_user_model):
    bring(owner_client, bought)
    run_waiting_tasks()
    address = reverse("common:image", args=[TicketPhoto.objects.get().shown_id])
    assert owner_client.get(address).status_code == 200
    client.force_login(django_user_model.objects.create_user("joss", password="x"))
    assert client.get(address).status_code == 403
    assert client.get(reverse("lumber:tickets_state", args=[bought.pk])).status_code == 403
    assert bring(client, bought).status_code == 403


@pytest.mark.parametrize("data", [b"no picture at all", b"<svg xmlns='http://www.w3.org/2000/svg'/>", photo()[:200]])
def test_what_is_no_picture_is_said_in_words_until_another_is_brought(owner_client, bought, data):
    bring(owner_client, bought, data)
    run_waiting_tasks()
    trouble = TicketPhoto.objects.get().trouble
    assert trouble and trouble in shown(owner_client.get(bought.get_absolute_url()))
    bring(owner_client, bought)
    assert trouble not in page(owner_client, bought)


def test_an_empty_or_missing_or_huge_file_is_refused_on_the_page(owner_client, bought):
    address = reverse("lumber:tickets", args=[bought.pk])
    empty = bring(owner_client, bought, b"")
    missing = owner_client.post(address, {"form_key": secrets.token_urlsafe(24)})
    huge = bring(owner_client, bought, b"x" * (12 * 1024 * 1024 + 1))
    for answer, words in ((empty, "The file is empty"), (missing, "Choose a photo"), (huge, "larger than 12 MB")):
        assert answer.status_code == 422 and words in shown(answer) and "Line by line" in shown(answer)
    assert TicketPhoto.objects.count() == 0 and not list(file_path("incoming").glob("*"))


def test_sent_twice_it_is_there_once(owner_client, bought):
    key = secrets.token_urlsafe(24)
    assert [bring(owner_client, bought, key=key).status_code for _ in range(2)] == [302, 302]
    assert TicketPhoto.objects.count() == 1 and len(list(file_path("incoming").glob("*"))) == 1


def test_there_is_an_end_to_photos(owner_client, bought):
    TicketPhoto.objects.bulk_create(TicketPhoto(delivery=bought) for _ in range(MOST_PHOTOS))
    assert "photos already" in shown(bring(owner_client, bought))


def test_a_photo_whose_copying_died_is_given_up_in_words_and_its_upload_kept_till_then(owner_client, bought):
    bring(owner_client, bought)
    assert len(tickets_awaited()) == 1
    drop_old_incoming(set())
    assert len(list(file_path("incoming").glob("*"))) == 1
    TicketPhoto.objects.update(task="00000000-0000-0000-0000-000000000000")
    assert "The photo was lost" in page(owner_client, bought)
    tidy_tickets()
    assert TicketPhoto.objects.get().trouble and not list(file_path("incoming").glob("*"))
    assert StoredImage.objects.count() == 0
