"""The time log: how long work took, written down by whoever did it."""

from __future__ import annotations

from django.db import models


class TimeEntry(models.Model):
    """Minutes somebody worked at something. Append-only: an entry is mended by another that names it in ``mends`` and
    takes its place, or takes it back; the newest counts.

    ``key`` is opaque: whoever the work is for gave it with a label. ``operation`` is one of the planner's, or "whole"
    for the whole board. ``count`` is how much of it was done, of the whole board a share, as exact text; empty where it
    was not said. ``finishes`` says that the operation is done with this. ``planned`` are the counts the plan had when
    this was written, by operation, as exact text; of an entry that takes back they are those of what it takes back.
    """

    class Kind(models.TextChoices):
        WORKED = "worked", "worked"
        DONE = "done", "said to be done"
        TAKEN_BACK = "taken back", "taken back"

    key = models.CharField(max_length=80)
    label = models.CharField(max_length=120)
    kind = models.CharField(max_length=10, choices=Kind.choices, default=Kind.WORKED)
    operation = models.CharField(max_length=40)
    on = models.DateField()
    minutes = models.PositiveIntegerField()
    count = models.CharField(max_length=40, blank=True)
    finishes = models.BooleanField(default=False)
    planned = models.JSONField(default=dict)
    by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    note = models.CharField(max_length=120, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    mends = models.OneToOneField("self", models.PROTECT, null=True, related_name="mended_by")

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "time entries"
        indexes = [models.Index(fields=["key"])]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(kind="worked", minutes__gt=0)
                | models.Q(kind="done", minutes=0, finishes=True)
                | models.Q(kind="taken back", minutes=0, mends__isnull=False),
                name="time_of_work_that_was_done",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.label}, {self.operation}: {self.minutes} min"
