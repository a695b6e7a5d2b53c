"""Demo and shop keep separate folders, each with a key of its own, and the tests come near neither."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from shopapp import bootstrap

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def chosen(monkeypatch):
    """The data folder's name, relative to the project, after choosing for these words."""

    def choose(*words, named=None):
        monkeypatch.delenv("KERFSTEAD_DATA", raising=False)
        if named:
            monkeypatch.setenv("KERFSTEAD_DATA", named)
        argv = ["manage.py", *words]
        bootstrap.choose_data_folder(argv)
        assert "--shop" not in argv
        return os.path.relpath(os.environ["KERFSTEAD_DATA"], bootstrap.BASE)

    return choose


def test_the_demo_is_opened_unless_the_shop_is_asked_for(chosen):
    assert chosen("up") == "data/demo"
    assert chosen("up", "--port", "9000", "--shop") == "data/shop"
    assert chosen("owner", "--reset", "--shop") == "data/shop"


def test_a_folder_named_in_the_environment_stands_wherever_it_is_named_from(chosen, monkeypatch):
    monkeypatch.chdir(ROOT / "tests")
    assert chosen("up", "--shop", named="there") == "tests/there"


def test_the_tests_never_use_a_shops_folder(chosen):
    assert chosen("test", named="/srv/kerfstead") == "data/test"


def test_pytest_by_itself_turns_away_from_a_folder_with_a_shop(tmp_path):
    (tmp_path / "shop.sqlite3").write_text("")
    answer = subprocess.run(
        [sys.executable, "-c", "import tests.support.environment as e; print(e.DATA)"],
        cwd=ROOT,
        env={**os.environ, "KERFSTEAD_DATA": str(tmp_path)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert Path(answer.stdout.strip()) == ROOT / "data" / "test"


def test_the_secret_key_is_made_once_and_for_its_owner_only(tmp_path):
    folder = tmp_path / "shop"
    bootstrap.make_data_folder(str(folder))
    key = folder / "secret_key"
    first = key.read_text()
    bootstrap.make_data_folder(str(folder))
    assert key.read_text() == first and len(first) > 60
    assert key.stat().st_mode & 0o077 == 0
    assert folder.stat().st_mode & 0o077 == 0


def test_an_empty_key_left_by_a_full_disk_is_made_anew(tmp_path):
    (tmp_path / "secret_key").write_text("")
    bootstrap.make_data_folder(str(tmp_path))
    assert len((tmp_path / "secret_key").read_text()) > 60


def test_a_new_folder_becomes_a_demo_only_when_the_demo_is_started(tmp_path):
    for name, started, expected in [
        ("demo-up", {"starting": True}, True),
        ("shop-up", {"starting": True, "shop": True}, False),
        ("another-command", {}, False),
    ]:
        bootstrap.make_data_folder(str(tmp_path / name), **started)
        assert (tmp_path / name / "demo").exists() is expected


def test_a_folder_that_holds_a_shop_never_becomes_a_demo(tmp_path):
    bootstrap.make_data_folder(str(tmp_path), starting=True, shop=True)
    bootstrap.make_data_folder(str(tmp_path), starting=True)
    assert not (tmp_path / "demo").exists()


def test_no_shop_is_opened_in_the_demos_folder(tmp_path):
    bootstrap.make_data_folder(str(tmp_path), starting=True)
    with pytest.raises(bootstrap.Stop, match="holds the demo"):
        bootstrap.make_data_folder(str(tmp_path), starting=True, shop=True)
