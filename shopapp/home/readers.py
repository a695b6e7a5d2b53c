"""What the first page and the health page show."""

from __future__ import annotations

import sqlite3
import sys
from dataclasses import dataclass

from django.conf import settings
from django.db import connection

from shopapp.common.ledger import missing_triggers
from shopapp.common.models import WorkerBeat
from shopapp.designs.models import Design
from shopapp.lumber.models import WoodOnHand
from shopapp.plans.models import Plan
from shopapp.workshop.models import Workshop


@dataclass(frozen=True)
class FirstHour:
    """What a new shop has done already, in the order one would do it."""

    settings: bool
    woods: bool
    designs: bool
    plans: bool

    @property
    def done(self) -> bool:
        return self.settings and self.woods and self.designs and self.plans


def first_hour() -> FirstHour:
    return FirstHour(
        # The row alone says nothing: whoever writes down an evening holds it, too.
        Workshop.objects.filter(edit_version__gt=0).exists(),
        WoodOnHand.objects.filter(on_hand=True).exists(),
        Design.objects.exists(),
        Plan.objects.exists(),
    )


def health() -> list[tuple[str, str]]:
    """Plain facts about the machine, for whoever is asked to help."""
    facts = [("Python", sys.version.split()[0])]
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA journal_mode")
            mode = cursor.fetchone()[0]
        facts.append(("Database", f"SQLite {sqlite3.sqlite_version}, journal {mode.upper()}, every commit flushed"))
    else:
        facts.append(("Database", f"PostgreSQL {connection.pg_version // 10000}"))
    missing = missing_triggers()
    facts.append(("Ledgers", "guarded" if not missing else f"triggers missing: {', '.join(missing)}"))
    beat = WorkerBeat.objects.order_by("-at").first()
    facts.append(("Worker last seen", beat.at.strftime("%d %b %Y, %H:%M:%S UTC") if beat else "never"))
    facts.append(("Data folder", str(settings.DATA)))
    facts.append(("Papers", _paper_engine()))
    return facts


def _paper_engine() -> str:
    try:
        import weasyprint
    except OSError:
        return "the PDF libraries are missing; the README says how to install them"
    return f"PDF engine {weasyprint.__version__}"
