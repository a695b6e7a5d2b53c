"""When a board is made around real evenings: the search for a timetable, what was kept of it, and the steps ticked.

Times inside ``form`` are slots from midnight at the start of ``first``, local time.
"""

from __future__ import annotations

import hashlib

from django.db import models


def timetable_fingerprint(form: str) -> str:
    return hashlib.sha256(form.encode()).hexdigest()


class _Making(models.Model):
    """What search and kept timetable have in common. ``key`` is opaque: whoever wants the board made gave it with a
    label. ``boards`` are what is made together: a list of objects with ``label`` and ``plan``, the first its own."""

    key = models.CharField(max_length=80)
    label = models.CharField(max_length=120)
    plan = models.ForeignKey("plans.Plan", models.PROTECT, related_name="+")
    boards = models.JSONField(default=list)
    wishes = models.JSONField(default=dict)
    first = models.DateField()
    # The work, what each task is, and its times, as JSON (``planner.gluing``).
    form = models.TextField(blank=True)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"Timetable for {self.label}"


class TimetableSearch(_Making):
    """A timetable being looked for. The newest of a key is the one its page shows."""

    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    task = models.CharField(max_length=64, blank=True)
    # What a second person or one more of something would bring, as JSON, when that was looked for.
    advice = models.JSONField(default=list)
    ended_at = models.DateTimeField(null=True)
    trouble = models.TextField(blank=True)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["key", "-id"], name="newest_timetable_search")]

    @property
    def is_running(self) -> bool:
        return self.ended_at is None


class KeptTimetable(_Making):
    """A timetable that was kept: the newest of a key counts. Append-only."""

    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    advice = models.JSONField(default=list)
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["key", "-id"], name="newest_timetable_of_a_key")]

    @property
    def matches_its_hash(self) -> bool:
        return timetable_fingerprint(self.form) == self.sha256


class StepTick(models.Model):
    """A step of the making ticked, or its tick taken back. Append-only; the newest of a key and step counts."""

    key = models.CharField(max_length=80)
    step = models.CharField(max_length=80)
    words = models.CharField(max_length=200)
    done = models.BooleanField()
    at = models.DateTimeField()
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["key", "step", "-id"], name="newest_tick_of_a_step")]

    def __str__(self) -> str:
        return f"{self.words}: {'done' if self.done else 'not done after all'}"


class TimetablePaper(models.Model):
    """The cards of a kept timetable on paper: asked for, rendered by the worker, then stored for good."""

    timetable = models.OneToOneField(KeptTimetable, models.PROTECT, related_name="paper")
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"Cards of {self.timetable}"
