"""Who may sign in."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models


class Member(AbstractUser):
    """Someone of the workshop. The owner sees everything; a helper will see the bench and the rack."""

    class Role(models.TextChoices):
        OWNER = "owner", "owner"
        HELPER = "helper", "helper"

    # Who is made without a word about it gets the lesser role.
    role = models.CharField(max_length=10, choices=Role.choices, default=Role.HELPER)

    @property
    def is_owner(self) -> bool:
        return self.role == self.Role.OWNER
