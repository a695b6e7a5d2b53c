"""Who may sign in, and whom the shop makes things for."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.urls import reverse

from shopapp.common.models import Record


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


class Person(Record):
    """A customer, or who is given something. Never deleted: whoever asks to be forgotten is erased, which leaves the
    row without a name, the day it happened, and a hash of what was destroyed."""

    name = models.CharField(max_length=80)
    address = models.CharField(max_length=400, blank=True)
    notes = models.CharField(max_length=2000, blank=True)
    erased_at = models.DateTimeField(null=True)
    erased_sha256 = models.CharField(max_length=64, blank=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("people:person", args=[self.pk])


class Way(models.Model):
    """One way to reach a person."""

    class Kind(models.TextChoices):
        MAIL = "mail", "e-mail"
        PHONE = "phone", "phone"
        OTHER = "other", "another way"

    person = models.ForeignKey(Person, models.CASCADE, related_name="ways")
    place = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=5, choices=Kind.choices)
    words = models.CharField(max_length=254)

    class Meta:
        ordering = ["place", "pk"]

    def __str__(self) -> str:
        return self.words
