"""A colour that was kept before pieces had names is an oiled sample of the day it was written down.

Only the rack's own steps are taken here; tests/rules/test_old_databases.py takes this shop all the way."""

from __future__ import annotations

import gzip
import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
EARLIER = ROOT / "tests" / "dbs" / "making-it.sqlite3.gz"
ASK = """
import json, django
django.setup()
from django.core.management import call_command
from django.db.migrations.loader import MigrationLoader
# Step by step, as the steps were written: what a new shop gets at once in their place is left out.
read = MigrationLoader.load_disk
def steps_alone(loader):
    read(loader)
    loader.disk_migrations = {key: step for key, step in loader.disk_migrations.items() if not step.replaces}
MigrationLoader.load_disk = steps_alone
call_command("migrate", "lumber", verbosity=0, interactive=False)
from shopapp.common.ledger import missing_triggers
from shopapp.lumber.colours.readers import faults_of_colours, kept_colours, tones_of
from shopapp.lumber.models import WoodOnHand
row = WoodOnHand.objects.get(wood="padauk")
kept = [(one.colour.rgb, one.colour.state, one.colour.piece, str(one.colour.seen_on), one.now)
        for one in kept_colours(row)]
def missing():
    return [one for one in missing_triggers() if "lumber" in one]
there = [kept, tones_of(["padauk"])["padauk"], faults_of_colours(), missing()]
# The step can be taken back, and taken again.
call_command("migrate", "lumber", "0007", verbosity=0, interactive=False)
call_command("migrate", "lumber", verbosity=0, interactive=False)
again = [str(one.colour.seen_on) for one in kept_colours(row)]
print(json.dumps([there, again, missing()]))
"""


def test_its_day_is_that_of_its_entry_and_the_wood_looks_as_it_did(tmp_path):
    path = tmp_path / "shop.sqlite3"
    path.write_bytes(gzip.decompress(EARLIER.read_bytes()))
    with sqlite3.connect(path) as database:
        [wood] = database.execute("SELECT id FROM lumber_woodonhand WHERE wood = 'padauk'").fetchone()
        database.execute(
            "UPDATE lumber_woodonhand SET finished_rgb = '#4a3324', colour_is_stand_in = 0 WHERE id = ?", [wood]
        )
        for rgb, day in (("#503828", "2025-03-02"), ("#4a3324", "2025-11-20")):
            database.execute(
                "INSERT INTO lumber_woodcolour (wood_id, rgb, taken_at, card, places, remarks) "
                "VALUES (?, ?, ?, '', '{}', '[]')",
                [wood, rgb, f"{day} 12:00:00"],
            )
    database.close()
    (tmp_path / "secret_key").write_text("k" * 60)
    environment = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
    environment |= {"KERFSTEAD_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "tests.support.plain_settings"}
    answer = subprocess.run(
        [sys.executable, "-c", ASK], cwd=ROOT, env=environment, capture_output=True, text=True, timeout=240
    )
    assert answer.returncode == 0, answer.stderr
    there, again, missing = json.loads(answer.stdout.strip().splitlines()[-1])
    assert there == [
        [["#4a3324", "oiled", "", "2025-11-20", "shown now"], ["#503828", "oiled", "", "2025-03-02", ""]],
        ["#4a3324", None],
        [],
        [],
    ]
    assert again == ["2025-11-20", "2025-03-02"] and missing == []
