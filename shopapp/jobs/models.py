"""Work in hand: what is made, for whom, until when, from which plan; and everything that happened to it."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

from shopapp.common.models import Record


class Job(Record):
    """A piece of work. Never deleted: what is not to be made is called off.

    ``state`` is the newest event's, kept for quick lists and checked by `manage.py verify`.
    """

    class Kind(models.TextChoices):
        GIFT = "gift", "gift"
        COMMISSION = "commission", "commission"
        SALE = "sale", "for sale"

    class State(models.TextChoices):
        PLANNED = "planned", "planned"
        UNDER_WAY = "under way", "under way"
        FINISHED = "finished", "finished"
        HANDED_OVER = "handed over", "handed over"
        CALLED_OFF = "called off", "called off"

    label = models.CharField(max_length=80)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="jobs")
    for_whom = models.CharField(max_length=80, blank=True)
    due = models.DateField(null=True)
    plan = models.ForeignKey("plans.Plan", models.PROTECT, null=True, related_name="jobs")
    quote = models.OneToOneField("quotes.Quote", models.PROTECT, null=True, related_name="job")
    state = models.CharField(max_length=12, choices=State.choices, default=State.PLANNED)

    class Meta:
        ordering = [models.F("due").asc(nulls_last=True), "pk"]
        indexes = [models.Index(fields=["state", "due"])]

    def __str__(self) -> str:
        return self.label

    def get_absolute_url(self) -> str:
        return reverse("jobs:job", args=[self.pk])

    @property
    def key(self) -> str:
        """What the rack knows this job by."""
        return f"job {self.pk}"


class JobEvent(models.Model):
    """What happened to a job, in a sentence, and the state it left it in. Append-only."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    state = models.CharField(max_length=12, choices=Job.State.choices)
    words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.words
