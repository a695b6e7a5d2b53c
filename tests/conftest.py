"""What every test of the app starts from: an owner, their browser session, quick hashing, plain static files."""

from __future__ import annotations

import contextlib
import gc
import itertools
import os
from importlib import import_module
from pathlib import Path

import hypothesis
import pytest
from django.conf import settings
from django.db import transaction
from django.template import Template
from django.test import override_settings
from hypothesis.internal.conjecture import providers

from tests.support.migrated import migrated_once
from tests.support.once import Once
from tests.support.order import longest_first

# Helpers, settings and jobs for other processes; not tests.
collect_ignore_glob = ["support/*", "bench/*"]
STORAGE = "mark.storage"
TESTS = Path(__file__).resolve().parent
PLANNER = TESTS.parent / "planner"
# How long an example takes by the clock on the wall tells of what else the machine is doing.
hypothesis.settings.register_profile("shop", deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow])
hypothesis.settings.load_profile("shop")
# It tries numbers and words that stand in our code. Those of the planner can matter to what it is asked; reading every
# page and every test for them took each process of a first run six seconds.
providers.is_local_module_file = lambda path: path.startswith(str(PLANNER))


def pytest_ignore_collect(collection_path, config):
    """Where only what is marked `storage` is asked for, files without one are not even opened as tests."""
    if config.option.markexpr == "storage" and collection_path.suffix == ".py":
        return STORAGE not in collection_path.read_text() or None
    return None


@pytest.hookimpl(tryfirst=True)
def pytest_collection(session):
    """Every process of a run reads all tests. Each begins with another part of them, and finds the rest compiled: the
    first time on a machine that takes longer than reading them."""
    number, many = os.environ.get("PYTEST_XDIST_WORKER", ""), int(os.environ.get("PYTEST_XDIST_WORKER_COUNT", "1"))
    if many == 1 or TESTS.name not in (Path(name).name for name in session.config.args):
        return
    root = TESTS.parent
    for file in sorted(TESTS.rglob("test_*.py"))[int(number.removeprefix("gw")) :: many]:
        # What cannot be read is told when it is collected.
        with contextlib.suppress(Exception, pytest.skip.Exception):
            import_module(".".join(file.relative_to(root).with_suffix("").parts))


def pytest_collection_modifyitems(config, items):
    """Long files begin first, and what is marked `storage` says so in its own file, where it is looked for."""
    unsaid = {
        item.path for item in items if item.get_closest_marker("storage") and STORAGE not in item.path.read_text()
    }
    if unsaid:
        raise pytest.UsageError(f"marked storage from elsewhere: {', '.join(map(str, unsaid))}")
    if hasattr(config, "workerinput"):
        longest_first(items)


@pytest.hookimpl(trylast=True)
def pytest_collection_finish(session):
    """What was read to find the tests stays to the end: looked through each time for what nobody holds any more, it
    took a tenth of the whole."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 50, 100)


@pytest.fixture(autouse=True, scope="session")
def quick_settings():
    storages = {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
    with override_settings(
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
        STORAGES={**settings.STORAGES, **storages},
    ):
        yield


@pytest.fixture(scope="session")
def files_of_all_tests(tmp_path_factory):
    return tmp_path_factory.mktemp("files"), itertools.count()


@pytest.fixture(autouse=True, scope="session")
def files_need_not_outlive_a_power_cut():
    """Nor need the database, see below: waiting for the disk took each stored file as long as everything else of it."""
    with pytest.MonkeyPatch.context() as patch:
        # Of a file that is closed it is told all the same.
        patch.setattr(os, "fsync", os.fstat)
        yield


@pytest.fixture(scope="session")
def once(request, tmp_path_factory) -> Once:
    """``once(name, make)`` is what ``make`` makes, made by the first process of the run that asks for it."""
    folder = tmp_path_factory.getbasetemp()
    shared = (folder.parent if hasattr(request.config, "workerinput") else folder) / "made-once"
    shared.mkdir(exist_ok=True)
    return Once(shared)


@pytest.fixture(autouse=True)
def own_files(request, files_of_all_tests):
    """Each test has a place for stored files; no folder is made for the thousands that store none."""
    if "rows_of_this_file" in request.fixturenames:
        # Also a test that asks for no more than those rows takes back what it writes.
        request.getfixturevalue("db")
        yield
        return
    folder, count = files_of_all_tests
    with override_settings(FILES=folder / str(next(count))):
        yield


@pytest.fixture(scope="module")
def rows_of_this_file(django_db_setup, django_db_blocker, files_of_all_tests):
    """What fixtures of a whole file write is written once, and taken back when the file is through: what its tests
    write on top, each takes back as ever. Every test of such a file finds those rows, whether it asks or not."""
    folder, count = files_of_all_tests
    with override_settings(FILES=folder / str(next(count))), django_db_blocker.unblock(), transaction.atomic() as block:
        yield block
        transaction.set_rollback(True)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix, once):
    """The tests' own database need not outlive a power cut; not waiting for the disk empties its tables faster."""
    from django.db import connections

    connection = connections["default"]
    if connection.vendor != "sqlite":
        yield
        return
    options, making = connection.settings_dict["OPTIONS"], type(connection.creation)
    options["init_command"] = options["init_command"].replace("synchronous=FULL", "synchronous=OFF")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(making, "create_test_db", migrated_once(once, making.create_test_db))
        yield


@pytest.fixture(autouse=True, scope="session")
def widgets_are_not_written_down(django_test_environment):
    """For ``response.context`` the tests' client copies the context of every template; more than half of those are of
    widgets, which no test asks for."""
    written_down = Template._render

    def render(self, context):
        if (self.name or "").startswith("django/forms/"):
            return self.nodelist.render(context)
        return written_down(self, context)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Template, "_render", render)
        yield


@pytest.fixture(autouse=True, scope="session")
def the_same_board_is_reckoned_once():
    from tests.support.reckoned import remember

    with pytest.MonkeyPatch.context() as patch:
        remember(patch)
        yield


@pytest.fixture(autouse=True, scope="session")
def the_same_paper_is_laid_out_once():
    from tests.support.papers import remember

    with pytest.MonkeyPatch.context() as patch:
        remember(patch)
        yield


@pytest.fixture(autouse=True, scope="session")
def tables_are_emptied_past_the_ledgers():
    from django.test import TransactionTestCase

    from tests.support.flush import leave_no_rows

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", leave_no_rows)
        yield


@pytest.fixture
def owner(db):
    from shopapp.people.models import Member

    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture
def owner_client(db, owner, client):
    from tests.support.signed_in import sign_in

    sign_in(client, owner)
    return client
