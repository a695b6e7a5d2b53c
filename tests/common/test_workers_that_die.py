"""A worker killed outright leaves nothing running, and what it had in hand is found again by the next."""

from __future__ import annotations

import os
import signal
import sys
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from shopapp.common import tasks
from shopapp.common.models import WorkerBeat
from tests.support import jobs

from .test_worker import wait_until, worker  # noqa: F401 - the fixture

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]


def is_running(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux ends a child with its parent")
def test_a_worker_killed_outright_takes_its_child_with_it_so_the_next_is_alone_at_the_task(worker, tmp_path):  # noqa: F811
    task = tasks.enqueue(jobs.sleep_the_first_time)
    first = worker()
    wait_until(lambda: (tmp_path / "pid").exists())
    child = int((tmp_path / "pid").read_text())
    assert is_running(child)
    first.send_signal(signal.SIGKILL)
    first.wait()
    wait_until(lambda: not is_running(child), seconds=5)
    assert worker("--until-empty").wait(60) == 0
    assert tasks.task_state(task).word == "done"


def test_two_workers_of_one_process_number_never_share_a_name():
    assert tasks.worker_name() != tasks.worker_name()


def test_what_a_worker_dropped_under_its_own_name_is_taken_up_again():
    tasks.enqueue(jobs.note, "dropped")
    tasks.claim_next("box/7")
    tasks.beat("box/7")
    assert tasks.take_up_again("box/7") == 1
    assert DBTaskResult.objects.get().status == "READY"
    assert WorkerBeat.objects.filter(worker="box/7").exists()


def test_a_beat_of_a_process_that_is_gone_counts_for_nothing():
    tasks.enqueue(jobs.note, "left behind")
    gone = tasks.worker_name().replace(f"/{os.getpid()}/", "/999999999/")
    tasks.claim_next(gone)
    WorkerBeat.objects.create(worker=gone, at=timezone.now())
    assert tasks.take_up_again(tasks.worker_name()) == 1


def test_the_third_worker_that_dies_over_a_task_was_the_last():
    task = tasks.enqueue(jobs.note, "too much")
    for number in range(3):
        tasks.claim_next(f"elsewhere/{number}")
        assert tasks.take_up_again("here/9") == 1
    state = tasks.task_state(task)
    assert state.word == "failed" and "three times" in state.message
    assert tasks.claim_next("here/9") is None


def test_who_was_given_up_for_dead_and_comes_back_does_not_write_over_the_next():
    task = tasks.enqueue(jobs.refuse)
    late = tasks.claim_next("slow/1")
    WorkerBeat.objects.create(worker="slow/1", at=timezone.now() - timedelta(minutes=5))
    tasks.take_up_again("quick/2")
    tasks.claim_next("quick/2")
    tasks.run_claimed(late)
    assert tasks.task_state(task).word == "working"


def test_a_task_nobody_claimed_is_not_run_by_hand():
    task = tasks.enqueue(jobs.break_down)
    for number in (task, "nonsense"):
        with pytest.raises(CommandError, match="No worker has claimed"):
            call_command("run_task", number)
    assert tasks.task_state(task).word == "waiting"


def test_a_database_that_is_away_for_a_moment_does_not_end_the_worker(monkeypatch):
    tasks.enqueue(jobs.refuse)
    asked = []
    claim = tasks.claim_next

    def busy_once(name: str):
        asked.append(name)
        if len(asked) == 1:
            raise OperationalError("database is locked")
        row = claim(name)
        if row is not None:
            tasks.run_claimed(row)

    monkeypatch.setattr(tasks, "claim_next", busy_once)
    monkeypatch.setattr(signal, "signal", lambda *_: None)
    call_command("worker", until_empty=True)
    assert len(asked) == 2
    assert DBTaskResult.objects.get().status == "FAILED"
