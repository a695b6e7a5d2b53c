"""The tests' own data folder, named before any settings are read; the hour at which they run; and sums kept to one
core, as the worker keeps them, for what shares them out spends most of the time waiting for its parts."""

from __future__ import annotations

import os
import secrets
from datetime import UTC, datetime
from pathlib import Path

for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
MORNING = 9


def where_it_is_morning(now: datetime) -> str:
    """A time zone in which ``now`` is the hour after nine; the names count hours the other way round."""
    east = (MORNING - now.astimezone(UTC).hour + 12) % 24 - 12
    return f"Etc/GMT{-east:+d}"


# Late in the evening nothing more is due today, and past midnight the day of a test's beginning is yesterday.
os.environ.setdefault("KERFSTEAD_TIME_ZONE", where_it_is_morning(datetime.now(UTC)))
OWN = Path(__file__).resolve().parents[2] / "data" / "test"
DATA = Path(os.environ.get("KERFSTEAD_DATA") or OWN)
if (DATA / "shop.sqlite3").exists():
    # Somebody's shop is named there; the tests never come near it.
    DATA = OWN
os.environ["KERFSTEAD_DATA"] = str(DATA)
DATA.mkdir(parents=True, exist_ok=True)
KEY = DATA / "secret_key"
if not KEY.exists():
    KEY.write_text(secrets.token_urlsafe(50))
    KEY.chmod(0o600)
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopapp.settings")
