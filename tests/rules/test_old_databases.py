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
ASK = """
import json, django
django.setup()
from django.core.management import call_command
from django.test import Client
call_command("migrate", verbosity=0, interactive=False)
from shopapp.common.ledger import missing_triggers
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from django.test.utils import setup_test_environment
setup_test_environment()
client = Client()
client.force_login(Member.objects.first())
pages = {plan.pk: client.get(plan.get_absolute_url()) for plan in Plan.objects.all()}
# The newest plan's sizes are what a pattern on the bench is reckoned with.
from django.urls import reverse
# Its price is settled anew from what it was kept with: every line, to what the buyer pays.
prices = [client.get(reverse("plans:price", args=[plan.pk])) for plan in Plan.objects.all()]
lower = [client.get(reverse("plans:price_lower", args=[plan.pk])).status_code for plan in Plan.objects.all()]
def adds_up(answer):
    priced = answer.context["priced"]
    kept = priced.record["figures"]
    again = {name: figure["value"] for name, figure in priced._sale.figures_at(priced.price).items()}
    same = all(again[name] == kept[name]["value"] for name in again if name in kept)
    whole = priced.figures.get("buyer_pays", priced.figures["price"])["value"][1]
    return same and str(priced.whole) == whole
bench = [client.post(reverse("plans:bench_reckoning", args=[plan.design_id]), {"pattern": plan.version.pattern})
         for plan in Plan.objects.select_related("version")]
from shopapp.designs.models import PatternVersion
from shopapp.jobs.models import Job
from shopapp.listings.models import Listing
from shopapp.lumber.models import StockPiece, Stocktake, Supply
from shopapp.quotes.models import Quote
from shopapp.lumber.supplies.checks import supplies_that_are_not_their_entries
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from shopapp.plans.timetable.checks import timetables_that_do_not_hold
with_pages = (PatternVersion, StockPiece, Stocktake, Supply, Quote, Job, Listing)
kept = [one for rows in with_pages for one in rows.objects.all()]
print(json.dumps({
    "kept": [client.get(one.get_absolute_url()).status_code for one in kept],
    "rack": [*pieces_that_are_not_their_moves(), *worth_that_came_or_went_unseen(),
             *supplies_that_are_not_their_entries()],
    "evenings": timetables_that_do_not_hold(),
    "bench": [b"as in the plan kept" in answer.content for answer in bench],
    "plans": [plan.matches_its_hash for plan in Plan.objects.all()],
    "pages": [page.status_code for page in (*pages.values(), *prices)] + lower,
    "prices": [adds_up(answer) for answer in prices if answer.context["priced"].price is not None],
    "triggers": missing_triggers(),
}))
"""


def test_there_is_a_database_to_try():
    assert DATABASES


@pytest.mark.parametrize("packed", DATABASES, ids=lambda p: p.name)
def test_it_migrates_and_its_plans_drawings_and_pieces_read_as_they_were_kept(packed, tmp_path):
    (tmp_path / "shop.sqlite3").write_bytes(gzip.decompress(packed.read_bytes()))
    (tmp_path / "secret_key").write_text("k" * 60)
    environment = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
    environment |= {"KERFSTEAD_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "tests.support.plain_settings"}
    answer = subprocess.run(
        [sys.executable, "-c", ASK], cwd=ROOT, env=environment, capture_output=True, text=True, timeout=120
    )
    assert answer.returncode == 0, answer.stderr
    told = json.loads(answer.stdout.strip().splitlines()[-1])
    assert told["plans"] and all(told["plans"])
    assert set(told["pages"]) == {200}
    assert set(told["kept"]) == {200}
    assert told["triggers"] == told["rack"] == told["evenings"] == []
    assert all(told["bench"])
    assert told["prices"] and all(told["prices"])
