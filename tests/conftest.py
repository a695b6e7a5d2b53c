"""What every test of the app starts from: an owner, their browser session, quick hashing, plain static files."""

from __future__ import annotations

import pytest

# Helpers, settings and jobs for other processes; not tests.
collect_ignore_glob = ["support/*", "bench/*"]


@pytest.fixture(autouse=True)
def quick_settings(settings, tmp_path):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.FILES = tmp_path / "files"


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix):
    """The tests' own database need not outlive a power cut; not waiting for the disk empties its tables faster."""
    from django.db import connections

    options = connections["default"].settings_dict.get("OPTIONS", {})
    if "init_command" in options:
        options["init_command"] = options["init_command"].replace("synchronous=FULL", "synchronous=OFF")


@pytest.fixture(autouse=True, scope="session")
def flush_lets_the_ledgers_go():
    from django.db.backends.base.operations import BaseDatabaseOperations

    from tests.support.flush import flush_past_the_ledgers

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(BaseDatabaseOperations, "execute_sql_flush", flush_past_the_ledgers)
        yield


@pytest.fixture
def owner(db):
    from shopapp.people.models import Member

    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture
def owner_client(owner, client):
    client.force_login(owner)
    return client
