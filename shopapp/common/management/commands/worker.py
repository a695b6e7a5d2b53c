"""The worker: claims tasks one at a time and runs each in a child process."""

from __future__ import annotations

import ctypes
import logging
import os
import signal
import subprocess
import sys
import time

from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import close_old_connections
from django.db.utils import InterfaceError, OperationalError
from django_tasks_db.models import DBTaskResult

from shopapp.common import tasks
from shopapp.common.tidying import tidy

log = logging.getLogger("shopapp.worker")
PAUSE = 0.5
TIDY_SECONDS = 3600
# Looked up before any fork: the child-to-be may only make the one call. Linux alone has it.
_prctl = ctypes.CDLL(None).prctl if sys.platform == "linux" else None
_PR_SET_PDEATHSIG = 1


class Command(BaseCommand):
    help = "Runs background work: pictures read, papers made. `manage.py up` starts it beside the server."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--until-empty", action="store_true", help="stop when nothing waits any more")

    def handle(self, *, until_empty: bool, **options: object) -> None:
        self.stopping = False
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self._stop)
        self.name = tasks.worker_name()
        self.due: dict[str, float] = {}
        self.aside: _Child | None = None
        try:
            while not self.stopping:
                close_old_connections()
                try:
                    if not self._turn() and until_empty:
                        return
                except (OperationalError, InterfaceError) as error:
                    # Locked for long, or the server went away for a moment. The task in hand is taken up again.
                    log.warning("The database did not answer (%s); trying again.", error)
                    time.sleep(PAUSE)
            self._look_aside()
        finally:
            if self.aside is not None:
                self.aside.end()

    def _turn(self) -> bool:
        """One look at what is to be done; False when there is nothing, and nothing runs aside."""
        self._every(tasks.BEAT_SECONDS, tasks.beat, self.name)
        self._every(tasks.STALE_SECONDS, tasks.take_up_again, self.name, self.aside and self.aside.row.pk)
        self._every(TIDY_SECONDS, tidy)
        self._look_aside()
        row = tasks.claim_next(self.name) if self.aside is None else tasks.claim_next(self.name, aside=False)
        if row is None:
            time.sleep(PAUSE)
            return self.aside is not None
        if row.queue_name == tasks.ASIDE:
            self.aside = _Child(row)
        else:
            self._run(_Child(row))
        return True

    def _stop(self, *_: object) -> None:
        self.stopping = True

    def _every(self, seconds: float, act, *args: object) -> None:
        now = time.monotonic()
        if now >= self.due.get(act.__name__, 0.0):
            act(*args)
            self.due[act.__name__] = now + seconds

    def _run(self, child: _Child) -> None:
        """See a task to its end; the beat goes on, and so does what runs aside."""
        try:
            while not self.stopping and child.lives(PAUSE):
                self._every(tasks.BEAT_SECONDS, tasks.beat, self.name)
                self._look_aside()
        finally:
            # Also when the beat found no database: a child never outlives the wait for it.
            code = child.end()
        self._note(child, code)

    def _look_aside(self) -> None:
        """Whether what runs aside has come to an end, or has to."""
        child = self.aside
        if child is not None and (self.stopping or not child.lives(0)):
            code = child.end()
            self._note(child, code)
            self.aside = None

    def _note(self, child: _Child, code: int | None) -> None:
        row = child.row
        row.refresh_from_db()
        if row.status != "RUNNING":
            return
        if self.stopping:
            # Ended by us, not by the task: it is taken up again at the next start, and this try does not count.
            DBTaskResult.objects.filter(pk=row.pk, status="RUNNING").update(
                status="READY", started_at=None, worker_ids=row.worker_ids[:-1]
            )
        elif code is None:
            tasks.note_failure(row, f"It took longer than {child.seconds} seconds and was stopped.")
        else:
            log.warning("Task %s ended half-way (exit %s).", row.pk, code)
            tasks.put_back(row)


class _Child:
    """A process that runs one claimed task."""

    def __init__(self, row: DBTaskResult) -> None:
        self.row = row
        self.seconds = tasks.seconds_for(row)
        threads = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1")
        self.process = subprocess.Popen(
            [sys.executable, str(settings.BASE_DIR / "manage.py"), "run_task", str(row.pk)],
            env={**os.environ, **threads, "KERFSTEAD_NO_BOOTSTRAP": "1"},
            preexec_fn=_gently,
            start_new_session=True,
        )
        self.ends = time.monotonic() + self.seconds

    def lives(self, patience: float) -> bool:
        """Whether it runs still and its time is not up, after ``patience`` seconds at the most."""
        try:
            self.process.wait(timeout=patience)
        except subprocess.TimeoutExpired:
            return time.monotonic() < self.ends
        return False

    def end(self) -> int | None:
        """Its exit code, or None where it had to be ended."""
        if self.process.poll() is not None:
            return self.process.returncode
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        return None


def _gently() -> None:
    """In the child, before it starts: low priority, and it ends with its worker should that be killed outright."""
    os.nice(10)
    if _prctl is not None:
        _prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
