"""The app's settings on the tests' own database, for a worker started by a test; with a short patience."""

import os

from shopapp.settings import *  # noqa: F403

DATABASES["default"]["NAME"] = os.environ["KERFSTEAD_TEST_DATABASE"]  # noqa: F405
TASK_SECONDS = int(os.environ["KERFSTEAD_TEST_PATIENCE"])
