"""Background work is done once, in a child with limits; what was killed half-way is taken up again."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import timedelta

import pytest
from django.conf import settings
from django.db import connection
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from shopapp.common import tasks
from shopapp.common.models import WorkerBeat
from tests.support import jobs

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def worker(tmp_path):
    """Starts real workers on the tests' own database, and ends them."""
    started = []
    environment = {
        **os.environ,
        "KERFSTEAD_NO_BOOTSTRAP": "1",
        "KERFSTEAD_TEST_NOTES": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "tests.support.worker_settings",
        "KERFSTEAD_TEST_DATABASE": str(connection.settings_dict["NAME"]),
    }

    def start(*words: str, patience: int = 10) -> subprocess.Popen:
        # That it looks the app over first is seen where it is started in earnest (tests/bootstrap).
        command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "worker", "--skip-checks", *words]
        limits = environment | {"KERFSTEAD_TEST_PATIENCE": str(patience)}
        started.append(subprocess.Popen(command, env=limits, cwd=settings.BASE_DIR, stderr=subprocess.PIPE))
        return started[-1]

    yield start
    for process in started:
        if process.poll() is None:
            process.kill()
        process.wait()
        process.stderr.close()


def notes(folder) -> list[str]:
    return sorted(path.read_text() for path in folder.iterdir())


def wait_until(holds, seconds: float = 30) -> None:
    ends = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < ends, "it took too long"
        time.sleep(0.1)


@pytest.mark.storage
def test_two_workers_do_every_task_once(worker, tmp_path):
    ids = [tasks.enqueue(jobs.note, f"task {i}") for i in range(6)]
    both = worker("--until-empty"), worker("--until-empty")
    for process in both:
        assert process.wait(60) == 0
    assert notes(tmp_path) == [f"task {i}" for i in range(6)]
    assert {tasks.task_state(task).word for task in ids} == {"done"}


@pytest.mark.storage
def test_a_killed_task_is_taken_up_again(worker, tmp_path):
    task = tasks.enqueue(jobs.die_the_first_time, str(tmp_path))
    assert worker("--until-empty").wait(60) == 0
    assert tasks.task_state(task).word == "done"
    assert len(DBTaskResult.objects.get().worker_ids) == 2


def test_a_task_that_kills_its_process_every_time_or_takes_too_much_memory_fails_in_words(worker):
    deadly, greedy = tasks.enqueue(jobs.die), tasks.enqueue(jobs.eat_memory)
    assert worker("--until-empty").wait(60) == 0
    given_up, fed_up = tasks.task_state(deadly), tasks.task_state(greedy)
    assert given_up.word == "failed" and "three times" in given_up.message
    assert fed_up.word == "failed" and "memory" in fed_up.message


def test_a_task_that_takes_too_long_is_stopped_in_words(worker):
    task = tasks.enqueue(jobs.sleep_long)
    assert worker("--until-empty", patience=3).wait(60) == 0
    state = tasks.task_state(task)
    assert state.word == "failed" and "longer than" in state.message


@pytest.mark.storage
def test_nobody_waits_behind_what_runs_aside_and_only_one_of_that_kind_runs_at_a_time(worker, tmp_path):
    aside = [tasks.enqueue(jobs.wait_aside_for, words) for words in ("second", "third")]
    soon = tasks.enqueue(jobs.note, "second")
    process = worker("--until-empty")
    # The first that waits aside ends by a note written beside it; the next begins only then.
    wait_until(lambda: tasks.task_state(aside[1]).word == "working")
    assert tasks.task_state(soon).word == tasks.task_state(aside[0]).word == "done"
    assert notes(tmp_path) == ["after second", "second"]
    tasks.enqueue(jobs.note, "third")
    assert process.wait(60) == 0
    assert notes(tmp_path) == ["after second", "after third", "second", "third"]


def test_what_runs_aside_has_a_patience_of_its_own(worker):
    task = tasks.enqueue(jobs.sleep_aside)
    assert worker("--until-empty", patience=50).wait(60) == 0
    assert "longer than 1 seconds" in tasks.task_state(task).message


def test_a_worker_does_not_take_from_itself_what_it_runs_aside():
    tasks.enqueue(jobs.sleep_aside)
    row = tasks.claim_next("here/1")
    assert tasks.take_up_again("here/1", row.pk) == 0
    assert tasks.take_up_again("here/1") == 1


@pytest.mark.parametrize("task", [jobs.sleep_long, jobs.wait_aside_for], ids=["alone", "aside"])
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_worker_told_to_end_does_so_and_leaves_its_task_for_the_next(worker, number, task):
    tasks.enqueue(task, *["never"] * (task is jobs.wait_aside_for))
    process = worker(patience=50)
    wait_until(lambda: DBTaskResult.objects.get().status == "RUNNING")
    time.sleep(0.5)
    process.send_signal(number)
    # Long before the task's own time is up.
    assert process.wait(20) == 0
    row = DBTaskResult.objects.get()
    assert (row.status, row.started_at, row.worker_ids) == ("READY", None, [])


def test_a_task_of_a_worker_that_is_gone_goes_back_into_the_queue():
    tasks.enqueue(jobs.note, "left behind")
    row = tasks.claim_next("elsewhere/1")
    WorkerBeat.objects.create(worker="elsewhere/1", at=timezone.now() - timedelta(minutes=5))
    assert tasks.take_up_again("here/2") == 1
    row.refresh_from_db()
    assert row.status == "READY"


def test_a_task_of_a_worker_that_lives_is_left_alone():
    tasks.enqueue(jobs.note, "in hand")
    tasks.claim_next("elsewhere/1")
    WorkerBeat.objects.create(worker="elsewhere/1", at=timezone.now())
    assert tasks.take_up_again("here/2") == 0


def test_the_planners_words_reach_the_page_and_a_surprise_is_said_plainly():
    refused, broken = tasks.enqueue(jobs.refuse), tasks.enqueue(jobs.break_down)
    tasks.run_waiting_tasks()
    assert tasks.task_state(refused).message == "The picture is too bright. Bring a darker one."
    assert tasks.task_state(broken).message == tasks.UNEXPECTED
    assert "ZeroDivisionError" in DBTaskResult.objects.get(pk=broken).traceback


@pytest.mark.parametrize("task", ["", "nonsense", "00000000-0000-0000-0000-000000000000"])
def test_a_task_nobody_knows_is_unknown_rather_than_an_error(task):
    assert tasks.task_state(task).word == "unknown"
