"""One file that holds the whole shop."""

from __future__ import annotations

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shopapp.common.backup import BackupTrouble, make_backup


class Command(BaseCommand):
    help = "Writes the database and every stored file into one .tar.gz while the app goes on working."

    def add_arguments(self, parser) -> None:
        parser.add_argument("file", nargs="?", help="where to (a dated name in this folder by default)")

    def handle(self, *, file: str | None, **options: object) -> None:
        target = Path(file or f"kerfstead-{timezone.now():%Y-%m-%d-%H%M%S}.tar.gz").resolve()
        try:
            contents = make_backup(target)
        except (BackupTrouble, OSError) as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{target} holds the database and {len(contents) - 1} files. Keep it on another machine.")
