"""The shop book of a kept plan: what it was bound from when it was asked for, and its document once that is made."""

from __future__ import annotations

import hashlib

from django.db import models

from .plans import canonical


def book_fingerprint(contents: object) -> str:
    """The hash of everything a book is bound from."""
    return hashlib.sha256(canonical(contents).encode()).hexdigest()


class ShopBook(models.Model):
    """A book asked for, of a plan with the cut plan and the timetable that stood then; none where none was kept.

    ``key`` is opaque: whoever wants the board made gave it with a label. ``seen`` is what else the book says and may
    change: the shop's ``name``, ``unit`` and ``words``, the ``places`` on the rack by the boards' marks, the
    ``colours`` of the woods, and the ``finish`` with its times. ``sha256`` is of all of it, so that the same book is
    made once. Append-only but for its task and its document.
    """

    class Paper(models.TextChoices):
        A4 = "A4", "A4"
        LETTER = "letter", "Letter"

    key = models.CharField(max_length=80)
    label = models.CharField(max_length=120)
    plan = models.ForeignKey("plans.Plan", models.PROTECT, related_name="books")
    sheet = models.ForeignKey("plans.CutSheet", models.PROTECT, null=True, related_name="+")
    timetable = models.ForeignKey("plans.KeptTimetable", models.PROTECT, null=True, related_name="+")
    paper = models.CharField(max_length=8, choices=Paper.choices)
    seen = models.JSONField(default=dict)
    sha256 = models.CharField(max_length=64, unique=True)
    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["key", "-id"], name="newest_book_of_a_key")]

    def __str__(self) -> str:
        return f"Shop book of {self.label}"
