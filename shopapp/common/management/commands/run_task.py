"""One claimed task, run to its end: the worker's child."""

from __future__ import annotations

import resource
import sys

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django_tasks_db.models import DBTaskResult

from shopapp.common.tasks import as_uuid, run_claimed, seconds_for


class Command(BaseCommand):
    help = "Runs one claimed task within the limits on memory and time. Started by the worker."
    # Its worker looked the app over when it started; done again by each child it would take a third of the start.
    requires_system_checks = ()

    def add_arguments(self, parser) -> None:
        parser.add_argument("task_id")

    def handle(self, *, task_id: str, **options: object) -> None:
        row = DBTaskResult.objects.running().filter(pk=as_uuid(task_id)).first()
        if row is None:
            raise CommandError("No worker has claimed a task of that number. `manage.py worker` runs what waits.")
        # Only a child with a task is fenced in: whoever asks in vain from a longer life must not end by these limits.
        memory = settings.TASK_MEMORY_MB * 1024 * 1024
        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
        # A second fence behind the worker's own clock.
        seconds = seconds_for(row)
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5))
        sys.exit(0 if run_claimed(row) else 3)
