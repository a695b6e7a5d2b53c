"""The tests' own data folder, named before any settings are read; and sums kept to one core, as the worker keeps them,
for what shares them out spends most of the time waiting for its parts."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
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
