"""The owner's way in, from the machine itself."""

from __future__ import annotations

from django.core.management.base import BaseCommand, CommandError

from shopapp.people.actions import first_owner, reset_owner_password


class Command(BaseCommand):
    help = "Makes the first owner, or gives the owner a new password."

    def add_arguments(self, parser) -> None:
        group = parser.add_mutually_exclusive_group(required=True)
        group.add_argument("--first", action="store_true", help="make the owner if nobody can sign in yet")
        group.add_argument("--reset", action="store_true", help="print a new password for the owner")
        parser.add_argument("--name", default=None)

    def handle(self, *, first: bool, name: str | None, **options: object) -> None:
        if first:
            password = first_owner(name or "owner")
            if password:
                self.stdout.write(f"Sign in as {name or 'owner'} with the password {password}")
                self.stdout.write("It is shown this once; change it under your name, or run `manage.py owner --reset`.")
            return
        found = reset_owner_password(name)
        if found is None:
            raise CommandError("There is no owner of that name. Make one with `manage.py owner --first`.")
        self.stdout.write(f"Sign in as {found[0]} with the password {found[1]}")
