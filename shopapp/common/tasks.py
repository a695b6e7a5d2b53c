"""Background work: a queue in the database, one task at a time, each in a child process with limits.

A task is a plain function marked ``@background``. The worker (``manage.py worker``) claims it, starts a child
(``manage.py run_task``) and notes how it ended. A task whose worker died is taken up again, a few times. Long ones
run aside: one of them at a time beside the others, so that nobody waits for a picture behind a search.
"""

from __future__ import annotations

import os
import secrets
import socket
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from django.conf import settings
from django.core.exceptions import SuspiciousOperation
from django.db import transaction
from django.utils import timezone
from django_tasks import task as _task
from django_tasks_db.models import DBTaskResult
from django_tasks_db.utils import exclusive_transaction

from planner.errors import PlannerError

from .models import WorkerBeat

MOST_TRIES = 3
BEAT_SECONDS = 5
STALE_SECONDS = 30
UNEXPECTED = "Something went wrong that was not foreseen; it is written in the shop's log. Try once more."


# The queue of what runs aside.
ASIDE = "aside"


def background(*, name: str, aside_for: int = 0) -> Callable:
    """Mark a module's function as a task. ``name`` says in the worker's log what it does. With ``aside_for`` it may
    take that many seconds, and other tasks go on beside it."""

    def mark(function: Callable):
        function.says, function.aside_for = name, aside_for
        return _task(queue_name=ASIDE if aside_for else "default")(function)

    return mark


def seconds_for(row: DBTaskResult) -> int:
    """How long a task may take before it is ended. What is no task of ours any more fails by itself, soon enough."""
    try:
        return row.task.func.aside_for or settings.TASK_SECONDS
    except (ImportError, SuspiciousOperation):
        return settings.TASK_SECONDS


def enqueue(task, *args: object) -> str:
    """Put a task in the queue; returns its id."""
    return str(task.enqueue(*args).id)


@dataclass(frozen=True)
class TaskState:
    """``word`` is "waiting", "working", "done", "failed" or "unknown"; ``message`` says why it failed."""

    word: str
    message: str = ""


_WORDS = {"READY": "waiting", "RUNNING": "working", "SUCCESSFUL": "done", "FAILED": "failed"}


def task_state(task_id: str) -> TaskState:
    """How far a task is. Reads only."""
    return task_states([task_id])[0]


def task_states(task_ids: Sequence[str]) -> list[TaskState]:
    """How far each of some tasks is, in one query."""
    numbers = [as_uuid(task_id) for task_id in task_ids]
    rows = DBTaskResult.objects.filter(pk__in=numbers).values("pk", "status", "return_value")
    found = {row["pk"]: row for row in rows}
    return [_state_of(found.get(number)) for number in numbers]


def _state_of(row: Mapping | None) -> TaskState:
    if row is None:
        return TaskState("unknown")
    word = _WORDS[row["status"]]
    message = (row["return_value"] or {}).get("message", UNEXPECTED) if word == "failed" else ""
    return TaskState(word, message)


def as_uuid(text: str) -> uuid.UUID:
    """The number of a task from text; what is none becomes the number nobody has."""
    try:
        return uuid.UUID(text)
    except ValueError:
        return uuid.UUID(int=0)


# --- the worker's side --------------------------------------------------------------------------------------


def worker_name() -> str:
    """A name no other worker ever had: in a container the same host and process number come back at each start."""
    return f"{socket.gethostname()[:80]}/{os.getpid()}/{secrets.token_hex(4)}"


def beat(worker: str) -> None:
    WorkerBeat.objects.update_or_create(worker=worker, defaults={"at": timezone.now()})


def claim_next(worker: str, *, aside: bool = True) -> DBTaskResult | None:
    """Claim the next waiting task, or None; without ``aside`` none that runs aside. Two workers never get the same."""
    ready = DBTaskResult.objects.ready() if aside else DBTaskResult.objects.ready().exclude(queue_name=ASIDE)
    if not ready.exists():
        # Looking first keeps an idle worker from taking the write lock twice a second.
        return None
    with exclusive_transaction("default"):
        row = ready.get_locked()
        if row is not None:
            row.claim(worker)
    return row


def take_up_again(worker: str, at: uuid.UUID | None = None) -> int:
    """Put tasks that nobody is at back into the queue; give up on one that was tried often enough.

    ``worker`` asks between two tasks, so what stands under its own name was dropped (the database was away) too, but
    the one it runs aside, which is ``at``.
    """
    others = _alive_workers() - {worker}
    count = 0
    # Read and put back under one lock: another worker may be looking after the same task at this moment.
    with transaction.atomic():
        for row in DBTaskResult.objects.running().select_for_update():
            if row.pk != at and (not row.worker_ids or row.worker_ids[-1] not in others):
                put_back(row)
                count += 1
        WorkerBeat.objects.exclude(worker__in=others | {worker}).delete()
    return count


def put_back(row: DBTaskResult) -> None:
    """Put a task that ended half-way back into the queue, or give it up when it was tried often enough."""
    if len(row.worker_ids) >= MOST_TRIES:
        note_failure(row, "This was tried three times and ended half-way each time. It may be too large.")
    else:
        DBTaskResult.objects.filter(pk=row.pk, status="RUNNING").update(status="READY", started_at=None)


def _alive_workers() -> set[str]:
    fresh = timezone.now() - timedelta(seconds=STALE_SECONDS)
    return {
        name for name in WorkerBeat.objects.filter(at__gte=fresh).values_list("worker", flat=True) if _may_live(name)
    }


def _may_live(worker: str) -> bool:
    """Of a worker on this machine we can ask the system; of another one only its beat tells."""
    host, pid = [*worker.split("/"), ""][:2]
    if host != socket.gethostname()[:80] or not pid.isdigit():
        return True
    try:
        os.kill(int(pid), 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def run_claimed(row: DBTaskResult) -> bool:
    """Run a claimed task here and note how it ended. A PlannerError's words reach the page that waits."""
    try:
        task = row.task
        value = task.call(*row.args_kwargs["args"], **row.args_kwargs["kwargs"])
    except PlannerError as error:
        note_failure(row, str(error))
        return False
    except MemoryError as error:
        note_failure(row, "It needs more memory than this shop allows a task.", error)
        return False
    except Exception as error:
        note_failure(row, UNEXPECTED, error)
        return False
    with transaction.atomic():
        # Taken up again by another worker meanwhile: what that one notes is what holds.
        if not _still_ours(row):
            return False
        row.set_successful(value)
    return True


def note_failure(row: DBTaskResult, message: str, error: BaseException | None = None) -> None:
    """A task's end in words for the page that waits; the row keeps the traceback."""
    with transaction.atomic():
        if _still_ours(row):
            row.set_failed(error or RuntimeError(message))
            DBTaskResult.objects.filter(pk=row.pk).update(return_value={"message": message})


def _still_ours(row: DBTaskResult) -> bool:
    now = DBTaskResult.objects.select_for_update().filter(pk=row.pk).values("status", "worker_ids").first()
    return now == {"status": "RUNNING", "worker_ids": row.worker_ids}


def run_waiting_tasks() -> int:
    """Run what waits, in this process; for tests and for the demo's filling."""
    count, name = 0, worker_name()
    while (row := claim_next(name)) is not None:
        run_claimed(row)
        count += 1
    return count
