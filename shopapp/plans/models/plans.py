"""A board as it was reckoned and kept. What was shown is stored and never worked out again."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache

from django.db import models
from django.urls import reverse


def canonical(value: object) -> str:
    """The one text of a JSON value: sorted keys, no spaces, so that equal values have equal hashes."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def sign_of_read(told: object) -> str:
    """A short sign of the JSON value somebody read: sent with what they press, held against how it stands then."""
    return hashlib.sha256(canonical(told).encode()).hexdigest()[:32]


def fingerprint(inputs: str, result: str) -> str:
    return hashlib.sha256(f"{inputs}\n{result}".encode()).hexdigest()


@lru_cache(maxsize=8)
def _opened(result: str) -> dict:
    """A page asks for the same record a dozen times, of a row read anew each time, and the text of one is long."""
    return json.loads(result)


# What the columns of a plan hold; a larger price could be written by one database and read by none.
MOST_PRICE = 10**10 - 1
MOST_MINUTES = 2**31 - 1


class Plan(models.Model):
    """Immutable: a trigger in the database refuses to change or delete a row."""

    design = models.ForeignKey("designs.Design", models.PROTECT, related_name="plans")
    version = models.ForeignKey("designs.PatternVersion", models.PROTECT, related_name="plans")
    title = models.CharField(max_length=120)
    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    planner_version = models.CharField(max_length=20)
    # Canonical JSON: everything the reckoning was given, and everything it answered.
    inputs = models.TextField()
    result = models.TextField()
    sha256 = models.CharField(max_length=64)
    # Copies of a few figures so that a list need not open every result.
    price = models.DecimalField(max_digits=14, decimal_places=4, null=True)
    minutes = models.PositiveIntegerField()
    # What the price is in; nothing for plans kept before this was, whose price is in the shop's.
    currency_symbol = models.CharField(max_length=4, default="")
    currency_exponent = models.PositiveSmallIntegerField(default=2)

    class Meta:
        ordering = ["-kept_at", "-pk"]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("plans:plan", args=[self.pk])

    @property
    def record(self) -> dict:
        """All that was answered, for reading: whoever wants it otherwise changes a copy."""
        return _opened(self.result)

    @property
    def matches_its_hash(self) -> bool:
        return fingerprint(self.inputs, self.result) == self.sha256


class BuildSheet(models.Model):
    """The paper of a kept plan: asked for, rendered by the worker, then stored for good."""

    plan = models.OneToOneField(Plan, models.PROTECT, related_name="build_sheet")
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"Build sheet of {self.plan}"
