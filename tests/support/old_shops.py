"""What shops of earlier states tell once they are migrated, run in a process of its own:

    python -m tests.support.old_shops FOLDER…

In each folder lies a shop.sqlite3, or none yet; what it told is written beside it. The app is read once, and the
process parts into one for each shop before any has a connection."""

from __future__ import annotations

import gc
import json
import os
import sys
import traceback
from pathlib import Path

import django

django.setup()

from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.db import connection, connections  # noqa: E402
from django.db.migrations.loader import MigrationLoader  # noqa: E402
from django.template.loader import get_template  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import setup_test_environment  # noqa: E402
from django.urls import reverse  # noqa: E402

from shopapp import urls  # noqa: E402, F401
from shopapp.common.ledger import missing_triggers  # noqa: E402
from shopapp.designs.models import PatternVersion  # noqa: E402
from shopapp.jobs.models import Job  # noqa: E402
from shopapp.listings.models import Listing  # noqa: E402
from shopapp.lumber.models import StockPiece, Stocktake, Supply  # noqa: E402
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen  # noqa: E402
from shopapp.lumber.supplies.checks import supplies_that_are_not_their_entries  # noqa: E402
from shopapp.people.models import Member  # noqa: E402
from shopapp.plans.models import Plan  # noqa: E402
from shopapp.plans.timetable.checks import timetables_that_do_not_hold  # noqa: E402
from shopapp.quotes.models import Quote  # noqa: E402
from shopapp.workshop.readers import the_workshop  # noqa: E402

WITH_PAGES = (PatternVersion, StockPiece, Stocktake, Supply, Quote, Job, Listing)


def adds_up(answer) -> bool:
    """Whether the page's price is settled as it was kept: every line, to what the buyer pays."""
    priced = answer.context["priced"]
    kept = priced.record["figures"]
    again = {name: figure["value"] for name, figure in priced._sale.figures_at(priced.price).items()}
    same = all(again[name] == kept[name]["value"] for name in again if name in kept)
    whole = priced.figures.get("buyer_pays", priced.figures["price"])["value"][1]
    return same and str(priced.whole) == whole


def laid_down() -> dict[str, list[str]]:
    """Every table, index and trigger in the words that make it, in whichever order a table has its columns."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
        made = {f"{kind} {name}": sql.partition("(") for kind, name, sql in cursor.fetchall()}
    return {name: [head, *sorted(rest.removesuffix(")").split(", "))] for name, (head, _, rest) in made.items()}


def told() -> dict[str, object]:
    call_command("migrate", verbosity=0, interactive=False)
    if not Member.objects.exists():
        return {"laid down": laid_down()}
    # So that an answer has its context.
    setup_test_environment()
    client = Client()
    client.force_login(Member.objects.first())
    plans = list(Plan.objects.select_related("version"))
    # The newest plan's sizes are what a pattern on the bench is reckoned with.
    bench = [
        client.post(reverse("plans:bench_reckoning", args=[plan.design_id]), {"pattern": plan.version.pattern})
        for plan in plans
    ]
    # A plan's price is settled anew from what it was kept with.
    prices = [client.get(reverse("plans:price", args=[plan.pk])) for plan in plans]
    pages = [client.get(plan.get_absolute_url()) for plan in plans]
    lower = [client.get(reverse("plans:price_lower", args=[plan.pk])) for plan in plans]
    kept = [one for rows in WITH_PAGES for one in rows.objects.all()]
    return {
        "kept": [client.get(one.get_absolute_url()).status_code for one in kept],
        "rack": [
            *pieces_that_are_not_their_moves(),
            *worth_that_came_or_went_unseen(),
            *supplies_that_are_not_their_entries(),
        ],
        "evenings": timetables_that_do_not_hold(),
        "bench": [b"as in the plan kept" in answer.content for answer in bench],
        "plans": [plan.matches_its_hash for plan in plans],
        "pages": [page.status_code for page in (*pages, *prices, *lower)],
        "counts wood in": the_workshop().counts_wood.words,
        "prices": [adds_up(answer) for answer in prices if answer.context["priced"].price is not None],
        "triggers": missing_triggers(),
        "laid down": laid_down(),
    }


def in_its_folder(folder: Path) -> None:
    settings.DATA, settings.FILES = folder, folder / "files"
    here = connections["default"].settings_dict
    here["NAME"] = folder / "shop.sqlite3"
    # It need not outlive a power cut.
    here["OPTIONS"]["init_command"] = here["OPTIONS"]["init_command"].replace("synchronous=FULL", "synchronous=OFF")
    try:
        (folder / "told").write_text(json.dumps(told()))
    except BaseException:
        (folder / "trouble").write_text(traceback.format_exc())


def read_what_each_reads() -> None:
    """Steps and pages are the app's own, not a shop's: read before the process parts, they are read once for all."""
    MigrationLoader(None)
    for page in sorted((settings.BASE_DIR / "templates").rglob("*.html")):
        get_template(str(page.relative_to(settings.BASE_DIR / "templates")))


def main() -> None:
    # Every step draws up models anew, each a circle that lives until it is looked for: seldom is enough.
    read_what_each_reads()
    gc.freeze()
    gc.set_threshold(100_000, 50, 100)
    for name in sys.argv[1:]:
        if os.fork() == 0:
            in_its_folder(Path(name))
            os._exit(0)
        os.wait()


if __name__ == "__main__":
    main()
