"""Who may sign in, and whom the shop makes things for."""

from __future__ import annotations

import re
from datetime import datetime
from urllib.parse import quote

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.urls import reverse
from django.utils import timezone

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
    # All of it, ways included, as `words.folded` writes it: what a search looks through.
    folded = models.TextField(blank=True)
    erased_at = models.DateTimeField(null=True)
    erased_sha256 = models.CharField(max_length=64, blank=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name if self.erased_at is None else instead_of(self.erased_at)

    def get_absolute_url(self) -> str:
        return reverse("people:person", args=[self.pk])


def instead_of(erased_at: datetime) -> str:
    """What stands where the name of somebody erased has to stand."""
    on = timezone.localdate(erased_at)
    return f"Somebody erased on {on.day} {on:%B %Y}"


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

    @property
    def link(self) -> str:
        """What a browser opens to reach them this way (RFC 3966, RFC 6068); "" for ways it knows nothing of."""
        if self.kind == self.Kind.MAIL:
            return f"mailto:{quote(self.words, safe='@')}"
        return f"tel:{re.sub(r'[^0-9+]', '', self.words)}" if self.kind == self.Kind.PHONE else ""


class Erasure(models.Model):
    """That a person was erased: when, by whom, the SHA-256 of what the shop held of them until then (the bytes of the
    file it gives out, see known/out.py), what was destroyed and what had to stay, in sentences. Append-only."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="erasures")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey(Member, models.PROTECT, null=True, related_name="+")
    sha256 = models.CharField(max_length=64)
    gone = models.TextField(blank=True)
    kept = models.TextField(blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.person}, {self.sha256[:12]}"
