"""A shop back from its backup."""

from __future__ import annotations

from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from shopapp.common.backup import BackupTrouble, restore_backup


class Command(BaseCommand):
    help = "Restores a backup into a data folder that holds no shop yet, then checks it."

    def add_arguments(self, parser) -> None:
        parser.add_argument("file")

    def handle(self, *, file: str, **options: object) -> None:
        try:
            count = restore_backup(Path(file), settings.DATA)
        except BackupTrouble as error:
            raise CommandError(str(error)) from error
        call_command("migrate", verbosity=0, interactive=False)
        self.stdout.write(f"{count} files are back in {settings.DATA}.")
        call_command("verify", stdout=self.stdout)
