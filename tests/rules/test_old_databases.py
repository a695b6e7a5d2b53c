"""A shop of an earlier state goes on: its database migrates, and what was kept in it reads as it was kept."""

from __future__ import annotations

import gzip
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DATABASES = sorted((ROOT / "tests" / "dbs").glob("*.sqlite3.gz"))
# A shop that begins today: its tables are made at once, those of the others as they came to be.
FROM_NOTHING = "from nothing"
# Its demo was filled when a shop could count wood in something else than board feet.
IN_DECIMETRES = "wood-in-cubic-decimetres.sqlite3.gz"


@pytest.fixture(scope="module")
def shops(tmp_path_factory):
    """A folder for each database, in which what it told is written."""
    folders = {packed: tmp_path_factory.mktemp(packed.name.split(".")[0]) for packed in DATABASES}
    for packed, folder in folders.items():
        (folder / "shop.sqlite3").write_bytes(gzip.decompress(packed.read_bytes()))
    folders[FROM_NOTHING] = tmp_path_factory.mktemp("from-nothing")
    first = next(iter(folders.values()))
    (first / "secret_key").write_text("k" * 60)
    environment = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
    environment |= {"KERFSTEAD_DATA": str(first), "DJANGO_SETTINGS_MODULE": "tests.support.plain_settings"}
    subprocess.run(
        [sys.executable, "-m", "tests.support.old_shops", *map(str, folders.values())],
        cwd=ROOT,
        env=environment,
        check=True,
        timeout=600,
    )
    return folders


def test_there_is_a_database_to_try():
    assert DATABASES


@pytest.mark.parametrize("packed", DATABASES, ids=lambda p: p.name)
def test_it_migrates_and_its_plans_drawings_and_pieces_read_as_they_were_kept(packed, shops):
    trouble = shops[packed] / "trouble"
    assert not trouble.exists(), trouble.read_text()
    told = json.loads((shops[packed] / "told").read_text())
    assert told["plans"] and all(told["plans"])
    assert set(told["pages"]) == {200}
    assert set(told["kept"]) == {200}
    assert told["triggers"] == told["rack"] == told["evenings"] == []
    assert all(told["bench"])
    assert told["prices"] and all(told["prices"])
    # What a maker is used to read does not change under their hands.
    assert told["counts wood in"] == ("cubic decimetres" if packed.name == IN_DECIMETRES else "board feet")


@pytest.mark.parametrize("packed", DATABASES, ids=lambda p: p.name)
def test_what_came_to_be_is_what_a_new_shop_gets_table_by_table(packed, shops):
    new, old = (json.loads((shops[one] / "told").read_text())["laid down"] for one in (FROM_NOTHING, packed))
    assert len(new) > 400
    assert old == new
