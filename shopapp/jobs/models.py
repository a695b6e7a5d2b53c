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
        REPAIR = "repair", "repair"
        REMAKE = "remake", "remake"
        COMPLAINT = "complaint", "complaint"

    class Settled(models.TextChoices):
        CHARGED = "charged", "charged to whoever wants it"
        RESERVE = "reserve", "against the reserve for boards lost"

    class Way(models.TextChoices):
        HAND = "hand", "handed over in person"
        CARRIER = "carrier", "by carrier"

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
    # The earlier piece a repair, a remake or a complaint is about, and who bears what it costs.
    of = models.ForeignKey("self", models.PROTECT, null=True, related_name="after")
    settled = models.CharField(max_length=8, choices=Settled.choices, blank=True)
    # How it gets to whom it is for; empty as is usual for its kind.
    way = models.CharField(max_length=8, choices=Way.choices, blank=True)
    # Whether its rows are laid and glued with the face on the bench, and so begun at the right.
    face_down = models.BooleanField(default=False)
    state = models.CharField(max_length=12, choices=State.choices, default=State.PLANNED)

    class Meta:
        ordering = [models.F("due").asc(nulls_last=True), "pk"]
        indexes = [models.Index(fields=["state", "due"])]

    def __str__(self) -> str:
        return self.label

    def get_absolute_url(self) -> str:
        return reverse("jobs:job", args=[self.pk])

    @property
    def by_hand(self) -> bool:
        """Whether it is handed over in person, so that no carrier has it; a gift is unless something else is said."""
        return (self.way or USUAL_WAY.get(self.kind, self.Way.CARRIER)) == self.Way.HAND

    @property
    def key(self) -> str:
        """What the rack knows this job by."""
        return f"job {self.pk}"


# How a job gets there where nothing is said.
USUAL_WAY = {Job.Kind.GIFT: Job.Way.HAND}
# Kinds of work that are about a piece made before.
AFTERWARDS = (Job.Kind.REPAIR, Job.Kind.REMAKE, Job.Kind.COMPLAINT)


class JobEvent(models.Model):
    """What happened to a job, in a sentence, and the state it left it in. Append-only.

    ``left`` is what was open when it was finished all the same: marks of boards of which nothing more comes back
    ("waste"), rough lengths not cut ("uncut"), pieces not cut again ("again"), kinds of work not learned from ("log").
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    state = models.CharField(max_length=12, choices=Job.State.choices)
    words = models.CharField(max_length=400)
    left = models.JSONField(default=dict)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.words


class PartEntry(models.Model):
    """Parts of a job's plan that were spoiled, are wanted besides it, or were cut again. Append-only: one is taken back
    by another that names it in ``undoes``.

    ``part`` is the number of the part in the plan's record, the first of those of one size; ``what`` is what it was
    called then.
    """

    class Kind(models.TextChoices):
        SPOILED = "spoiled", "spoiled"
        BESIDES = "besides", "wanted besides the plan"
        AGAIN = "again", "cut again"
        TAKEN_BACK = "taken back", "taken back"

    job = models.ForeignKey(Job, models.PROTECT, related_name="part_entries")
    plan = models.ForeignKey("plans.Plan", models.PROTECT, related_name="+")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    part = models.PositiveSmallIntegerField()
    what = models.CharField(max_length=160)
    count = models.PositiveIntegerField()
    why = models.CharField(max_length=160, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "part entries"
        constraints = [
            models.CheckConstraint(condition=models.Q(count__gt=0), name="some_parts_at_least"),
            models.CheckConstraint(
                condition=models.Q(kind="taken back", undoes__isnull=False)
                | (~models.Q(kind="taken back") & models.Q(undoes__isnull=True)),
                name="what_is_taken_back_is_named",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.what}: {self.get_kind_display()}"


class TimerEntry(models.Model):
    """A running time at the bench: begun by one entry, ended by another that names it. Append-only, so that a flat
    battery or another tablet loses nothing; what was stopped has its entry in the log of time.

    ``at`` is when it was done, by the shop's clock, ``token`` what the device that began it calls it by. ``timetable``
    and ``board`` say which board's log it goes into.
    """

    class Kind(models.TextChoices):
        BEGUN = "begun", "begun"
        STOPPED = "stopped", "stopped and written down"
        DROPPED = "dropped", "thrown away"

    job = models.ForeignKey(Job, models.PROTECT, related_name="timer_entries")
    timetable = models.ForeignKey("plans.KeptTimetable", models.PROTECT, related_name="+")
    board = models.PositiveSmallIntegerField(default=1)
    kind = models.CharField(max_length=8, choices=Kind.choices)
    token = models.CharField(max_length=64)
    operation = models.CharField(max_length=40)
    at = models.DateTimeField()
    who = models.ForeignKey("people.Member", models.PROTECT, related_name="+")
    ends = models.OneToOneField("self", models.PROTECT, null=True, related_name="ended_by")
    time = models.OneToOneField("schedule.TimeEntry", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "timer entries"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(kind="begun", ends__isnull=True, time__isnull=True)
                | models.Q(kind="stopped", ends__isnull=False, time__isnull=False)
                | models.Q(kind="dropped", ends__isnull=False, time__isnull=True),
                name="what_ends_a_time_names_it",
            ),
            models.UniqueConstraint(fields=["token"], condition=models.Q(kind="begun"), name="a_time_is_begun_once"),
        ]

    def __str__(self) -> str:
        return f"{self.operation} for {self.job.label}: {self.get_kind_display()}"
