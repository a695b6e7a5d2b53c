"""Uploads end at the limit while they stream in; stored pictures go only to who is signed in, as what they are."""

from __future__ import annotations

import re

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.files.uploadhandler import TemporaryFileUploadHandler
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.urls import reverse

from shopapp.common.files import write_file
from shopapp.common.images import MOST_BYTES, store_image
from shopapp.designs.models import Design
from shopapp.plans.actions import keep_plan
from shopapp.workshop.readers import the_workshop
from tests.support.books import build_sheet_of_then
from tests.support.shop import add_woods, board, design_with_pattern, picture, upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def written(monkeypatch):
    """Bytes of uploads that reached the disk, one count a file."""
    counts = []
    complete = TemporaryFileUploadHandler.file_complete

    def note(self, size):
        counts.append(self.file.tell() if self.file else 0)
        return complete(self, size)

    monkeypatch.setattr(TemporaryFileUploadHandler, "file_complete", note)
    return counts


def bring_page(client) -> str:
    return client.get(reverse("designs:bring")).content.decode()


def form_key(page: str) -> str:
    return re.search(r'name="form_key" value="([^"]+)"', page)[1]


def test_a_file_over_the_limit_is_refused_beside_its_field_and_never_stored_whole(owner_client, written):
    key = form_key(bring_page(owner_client))
    huge = upload(picture() + b"\0" * 3 * MOST_BYTES)
    answer = owner_client.post(reverse("designs:bring"), {"name": "Huge", "picture": huge, "form_key": key})
    assert answer.status_code == 422 and "larger than 12 MB" in answer.content.decode()
    assert MOST_BYTES < written[0] <= MOST_BYTES + 128 * 1024
    assert not Design.objects.exists() and not list(settings.FILES.rglob("*.raw"))


def test_a_stranger_cannot_fill_the_disk_with_many_files_in_one_request(written):
    files = {f"file{i}": SimpleUploadedFile("a.png", b"\0" * (MOST_BYTES // 2)) for i in range(5)}
    answer = Client(enforce_csrf_checks=True).post(reverse("designs:bring"), files)
    assert answer.status_code in {302, 403}
    assert sum(written) <= MOST_BYTES + 128 * 1024


def test_a_picture_at_the_limit_still_comes_in(owner_client):
    key = form_key(bring_page(owner_client))
    png = picture()
    whole = upload(png + b"\0" * (MOST_BYTES - len(png)))
    assert whole.size == MOST_BYTES
    answer = owner_client.post(reverse("designs:bring"), {"name": "Full", "picture": whole, "form_key": key})
    assert answer.status_code == 302


def test_a_picture_sent_twice_leaves_its_bytes_once(owner_client):
    key = form_key(bring_page(owner_client))
    for _ in range(2):
        owner_client.post(reverse("designs:bring"), {"name": "Twin", "picture": upload(picture()), "form_key": key})
    assert Design.objects.count() == 1
    assert len(list(settings.FILES.rglob("*.raw"))) == 1


def test_stored_folders_open_to_nobody_else_on_the_machine():
    name, _ = write_file("images", ".png", b"x")
    assert (settings.FILES / name).parent.stat().st_mode & 0o077 == 0


def test_a_stored_picture_goes_only_to_who_is_signed_in_and_only_as_a_picture(client, owner):
    stored = store_image(picture(), purpose="original")
    page = reverse("common:image", args=[stored.pk])
    assert client.get(page).status_code == 302
    client.force_login(owner)
    answer = client.get(page)
    assert b"".join(answer.streaming_content) == picture()
    assert answer["Content-Type"] == "image/png" and answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"].startswith("private") and answer["ETag"] == f'"{stored.sha256}"'
    assert client.get(page, headers={"If-None-Match": answer["ETag"]}).status_code == 304


def test_a_file_lost_from_the_disk_is_a_page_not_found(owner, owner_client):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    build_sheet_of_then(plan)
    pages = [reverse("common:image", args=[design.original_id]), reverse("plans:sheet_pdf", args=[plan.pk])]
    for page in pages:
        answer = owner_client.get(page)
        assert answer.status_code == 200
        assert b"".join(answer.streaming_content)
    for path in settings.FILES.rglob("*.p*"):
        path.unlink()
    assert [owner_client.get(page).status_code for page in pages] == [404, 404]


def test_the_sign_of_life_asks_nothing_of_the_database(client, django_assert_num_queries):
    with django_assert_num_queries(0):
        assert client.get(reverse("common:healthz")).json() == {"answers": True}


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL has its own tools for this")
@pytest.mark.django_db(transaction=True)
def test_a_backup_is_readable_by_its_maker_only(owner, tmp_path):
    call_command("backup", str(tmp_path / "b.tar.gz"))
    assert (tmp_path / "b.tar.gz").stat().st_mode & 0o077 == 0


@pytest.mark.storage
@pytest.mark.skipif(connection.vendor == "sqlite", reason="on SQLite the command does it itself")
@pytest.mark.parametrize(("command", "tool"), [("backup", "pg_dump"), ("restore", "pg_restore")])
def test_on_postgresql_its_own_tools_are_named(command, tool, tmp_path):
    with pytest.raises(CommandError, match=tool):
        call_command(command, str(tmp_path / "b.tar.gz"))
    assert list(tmp_path.glob("*.gz")) == []
