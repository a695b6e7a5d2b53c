"""What was backed up comes back whole, and a damaged backup changes nothing."""

from __future__ import annotations

import hashlib
import io
import json
import os
import subprocess
import sys
import tarfile

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection

from shopapp.common.backup import BackupTrouble, make_backup, restore_backup
from shopapp.common.models import StoredImage
from tests.support.shop import add_woods, design_with_pattern

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL has its own tools for this"),
]


@pytest.fixture
def backup(owner, tmp_path):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design_with_pattern(owner)
    target = tmp_path / "backup.tar.gz"
    make_backup(target)
    return target


def test_a_shop_comes_back_whole_in_an_empty_folder_and_is_checked(backup, tmp_path):
    folder = tmp_path / "again"
    folder.mkdir()
    (folder / "secret_key").write_text("k" * 60)
    environment = {**os.environ, "KERFSTEAD_DATA": str(folder), "KERFSTEAD_NO_BOOTSTRAP": "1"}
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "restore", str(backup)]
    answer = subprocess.run(command, env=environment, capture_output=True, text=True, cwd=settings.BASE_DIR)
    assert answer.returncode == 0, answer.stderr
    assert "no " not in [line[:3] for line in answer.stdout.splitlines()]
    assert (folder / "shop.sqlite3").exists()
    assert len(list((folder / "files" / "images").iterdir())) == StoredImage.objects.count() == 2


def test_a_shop_is_never_restored_over_another(backup, tmp_path):
    folder = tmp_path / "full"
    folder.mkdir()
    (folder / "shop.sqlite3").write_text("somebody's work")
    with pytest.raises(BackupTrouble, match="already"):
        restore_backup(backup, folder)
    assert (folder / "shop.sqlite3").read_text() == "somebody's work"


def test_a_damaged_backup_is_refused_and_nothing_is_restored(backup, tmp_path):
    data = backup.read_bytes()
    torn = tmp_path / "torn.tar.gz"
    torn.write_bytes(data[: len(data) // 2])
    folder = tmp_path / "empty"
    folder.mkdir()
    with pytest.raises(BackupTrouble, match="nothing was restored"):
        restore_backup(torn, folder)
    assert list(folder.iterdir()) == []


def test_a_backup_of_something_else_is_refused(tmp_path):
    other = tmp_path / "other.tar.gz"
    with tarfile.open(other, "w:gz") as archive:
        archive.add(__file__, "readme")
    with pytest.raises(BackupTrouble):
        restore_backup(other, tmp_path)


@pytest.mark.parametrize("name", ["../elsewhere", "files/../../elsewhere", "/etc/elsewhere", "secret_key"])
def test_a_list_that_names_a_place_outside_is_refused(name, tmp_path):
    """A backup from elsewhere may lie about where its files belong."""
    crafted, folder = tmp_path / "crafted.tar.gz", tmp_path / "shop"
    folder.mkdir()
    text = json.dumps({name: hashlib.sha256(b"x").hexdigest()}).encode()
    with tarfile.open(crafted, "w:gz") as archive:
        for entry, data in (("contents.json", text), ("secret_key", b"x"), ("elsewhere", b"x")):
            info = tarfile.TarInfo(entry)
            info.size = len(data)
            archive.addfile(info, io.BytesIO(data))
    with pytest.raises(BackupTrouble, match="has no place"):
        restore_backup(crafted, folder)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "kind"), [("../elsewhere", tarfile.REGTYPE), ("/tmp/elsewhere", tarfile.REGTYPE), ("a", tarfile.SYMTYPE)]
)
def test_an_archive_that_would_write_outside_is_refused(name, kind, tmp_path):
    crafted, folder = tmp_path / "crafted.tar.gz", tmp_path / "shop"
    folder.mkdir()
    with tarfile.open(crafted, "w:gz") as archive:
        info = tarfile.TarInfo(name)
        info.type, info.linkname = kind, str(tmp_path)
        archive.addfile(info)
    with pytest.raises(BackupTrouble, match=f"{name} has no place"):
        restore_backup(crafted, folder)
    assert list(folder.iterdir()) == []
    assert not (tmp_path / "elsewhere").exists()


def test_verify_finds_a_file_that_is_not_what_was_stored(backup, capsys):
    call_command("verify")
    image = StoredImage.objects.first()
    (settings.FILES / image.name).write_bytes(b"something else")
    with pytest.raises(CommandError, match="1 found"):
        call_command("verify")
    assert f"{image.name} is not the file that was stored" in capsys.readouterr().out
