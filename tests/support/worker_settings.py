"""The app's settings on the tests' own database, for a worker started by a test, with a short patience. Of the app it
has what the worker is made of: the tests' own jobs (support/jobs) ask for no more, and every child that runs one starts
in half of the time. The whole app's worker is started where it is started in earnest (tests/bootstrap)."""

import os

from shopapp.settings import *  # noqa: F403

DATABASES["default"]["NAME"] = os.environ["KERFSTEAD_TEST_DATABASE"]  # noqa: F405
TASK_SECONDS = int(os.environ["KERFSTEAD_TEST_PATIENCE"])
_OF_THE_WORKER = {"shopapp.common", "shopapp.people"}
INSTALLED_APPS = [
    name
    for name in INSTALLED_APPS  # noqa: F405
    if not name.startswith("shopapp.") or name in _OF_THE_WORKER
]
