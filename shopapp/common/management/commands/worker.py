"""The worker: claims tasks one at a time and runs each in a child process."""

from __future__ import annotations

import logging
import os
import signal
import subprocess
import sys
import time

from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import close_old_connections
from django.db.utils import OperationalError
from django_tasks_db.models import DBTaskResult

from shopapp.common import tasks

log = logging.getLogger("shopapp.worker")
PAUSE = 0.5


class Command(BaseCommand):
    help = "Runs background work: pictures read, papers made. `manage.py up` starts it beside the server."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--until-empty", action="store_true", help="stop when nothing waits any more")

    def handle(self, *, until_empty: bool, **options: object) -> None:
        self.stopping = False
        self.child: subprocess.Popen[bytes] | None = None
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self._stop)
        name = tasks.worker_name()
        tasks.beat(name)
        tasks.take_up_again(name)
        beaten = looked = time.monotonic()
        while not self.stopping:
            close_old_connections()
            try:
                now = time.monotonic()
                if now - beaten > tasks.BEAT_SECONDS:
                    tasks.beat(name)
                    beaten = now
                if now - looked > tasks.STALE_SECONDS:
                    tasks.take_up_again(name)
                    looked = now
                row = tasks.claim_next(name)
            except OperationalError:
                log.warning("The database is busy; trying again.")
                row = None
            if row is not None:
                self._run(row, name)
            elif until_empty:
                return
            else:
                time.sleep(PAUSE)

    def _stop(self, *_: object) -> None:
        self.stopping = True
        if self.child is not None and self.child.poll() is None:
            self.child.terminate()

    def _run(self, row: DBTaskResult, name: str) -> None:
        threads = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1")
        self.child = subprocess.Popen(
            [sys.executable, str(settings.BASE_DIR / "manage.py"), "run_task", str(row.pk)],
            env={**os.environ, **threads, "KERFSTEAD_NO_BOOTSTRAP": "1"},
            preexec_fn=_gently,
            start_new_session=True,
        )
        code = self._wait(self.child, name)
        self.child = None
        row.refresh_from_db()
        if row.status != "RUNNING":
            return
        if self.stopping:
            # Ended by us, not by the task: it is taken up again at the next start.
            DBTaskResult.objects.filter(pk=row.pk, status="RUNNING").update(
                status="READY", worker_ids=row.worker_ids[:-1]
            )
        elif code is None:
            tasks.note_failure(row, f"It took longer than {settings.TASK_SECONDS} seconds and was stopped.")
        elif len(row.worker_ids) >= tasks.MOST_TRIES:
            tasks.note_failure(row, "This was tried three times and ended half-way each time. It may be too large.")
        else:
            log.warning("Task %s ended half-way (exit %s) and goes back into the queue.", row.pk, code)
            DBTaskResult.objects.filter(pk=row.pk, status="RUNNING").update(status="READY", started_at=None)

    def _wait(self, child: subprocess.Popen[bytes], name: str) -> int | None:
        """The child's exit code, or None when its time ran out. The worker's beat goes on meanwhile."""
        ends = time.monotonic() + settings.TASK_SECONDS
        while time.monotonic() < ends:
            try:
                return child.wait(timeout=min(tasks.BEAT_SECONDS, max(0.05, ends - time.monotonic())))
            except subprocess.TimeoutExpired:
                tasks.beat(name)
        os.killpg(child.pid, signal.SIGKILL)
        child.wait()
        return None


def _gently() -> None:
    os.nice(10)
