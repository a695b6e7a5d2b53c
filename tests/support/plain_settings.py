"""The app's settings without collected static files, for a process that a test starts."""

from shopapp.settings import *  # noqa: F403

ALLOWED_HOSTS = ["testserver"]
STORAGES = {
    **STORAGES,  # noqa: F405
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
