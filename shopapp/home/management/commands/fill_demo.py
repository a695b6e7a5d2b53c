"""Fills an empty demo and prints, once, how to sign in."""

from __future__ import annotations

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shopapp.designs.models import Design
from shopapp.home.demo import fill
from shopapp.people.actions import first_owner
from shopapp.people.models import Member


class Command(BaseCommand):
    help = "Fills the demo's own data folder with Reedbank Workshop; does nothing where it stands already."

    def handle(self, **options: object) -> None:
        if not settings.IS_DEMO:
            raise CommandError("This data folder is no demo; nothing was filled. Run `manage.py up` without --shop.")
        password = first_owner("reedbank")
        if password:
            self.stdout.write(f"Sign in as reedbank with the password {password}")
            self.stdout.write("It is shown this once; `manage.py owner --reset` prints a new one.")
        if not Design.objects.exists():
            fill(Member.objects.order_by("pk").get())
