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
        while not self.stopping:
            close_old_connections()
            try:
                self._every(tasks.BEAT_SECONDS, tasks.beat, self.name)
                self._every(tasks.STALE_SECONDS, tasks.take_up_again, self.name)
                self._every(TIDY_SECONDS, tidy)
                row = tasks.claim_next(self.name)
                if row is not None:
                    self._run(row)
                elif until_empty:
                    return
                else:
                    time.sleep(PAUSE)
            except (OperationalError, InterfaceError) as error:
                # Locked for long, or the server went away for a moment. The task in hand, if any, is taken up again.
                log.warning("The database did not answer (%s); trying again.", error)
                time.sleep(PAUSE)

    def _stop(self, *_: object) -> None:
        self.stopping = True

    def _every(self, seconds: float, act, *args: object) -> None:
        now = time.monotonic()
        if now >= self.due.get(act.__name__, 0.0):
            act(*args)
            self.due[act.__name__] = now + seconds

    def _run(self, row: DBTaskResult) -> None:
        threads = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1")
        child = subprocess.Popen(
            [sys.executable, str(settings.BASE_DIR / "manage.py"), "run_task", str(row.pk)],
            env={**os.environ, **threads, "KERFSTEAD_NO_BOOTSTRAP": "1"},
            preexec_fn=_gently,
            start_new_session=True,
        )
        code = self._wait(child)
        row.refresh_from_db()
        if row.status != "RUNNING":
            return
        if self.stopping:
            # Ended by us, not by the task: it is taken up again at the next start, and this try does not count.
            DBTaskResult.objects.filter(pk=row.pk, status="RUNNING").update(
                status="READY", started_at=None, worker_ids=row.worker_ids[:-1]
            )
        elif code is None:
            tasks.note_failure(row, f"It took longer than {settings.TASK_SECONDS} seconds and was stopped.")
        else:
            log.warning("Task %s ended half-way (exit %s).", row.pk, code)
            tasks.put_back(row)

    def _wait(self, child: subprocess.Popen[bytes]) -> int | None:
        """The child's exit code, or None when its time ran out or the worker was told to end. The beat goes on."""
        ends = time.monotonic() + settings.TASK_SECONDS
        try:
            while not self.stopping and time.monotonic() < ends:
                try:
                    return child.wait(timeout=PAUSE)
                except subprocess.TimeoutExpired:
                    self._every(tasks.BEAT_SECONDS, tasks.beat, self.name)
            return None
        finally:
            # Also when the beat found no database: a child never outlives the wait for it.
            if child.poll() is None:
                os.killpg(child.pid, signal.SIGKILL)
                child.wait()


def _gently() -> None:
    """In the child, before it starts: low priority, and it ends with its worker should that be killed outright."""
    os.nice(10)
    if _prctl is not None:
        _prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
