"""Sessions by weekday, days that are different, and bookings. Hours are minutes from midnight by the clock on the wall;
1440 is the midnight that ends the day."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from shopapp.common.models import Record

DAY = 24 * 60


def clock(minutes: int) -> str:
    """
    >>> clock(19 * 60 + 5), clock(1440)
    ('19:05', '24:00')
    """
    return f"{minutes // 60:02}:{minutes % 60:02}"


def _within_a_day(name: str) -> models.CheckConstraint:
    return models.CheckConstraint(condition=Q(starts__lt=F("ends"), ends__lte=DAY), name=name)


class _Hours(models.Model):
    class Meta:
        abstract = True

    @property
    def from_to(self) -> str:
        return f"{clock(self.starts)} to {clock(self.ends)}"

    @property
    def minutes(self) -> int:
        return self.ends - self.starts


class ShopSession(Record, _Hours):
    """Every week on ``weekday`` somebody is in the shop: ``people`` at once, ``who`` they are where it is said."""

    class Weekday(models.IntegerChoices):
        MONDAY = 0, "Monday"
        TUESDAY = 1, "Tuesday"
        WEDNESDAY = 2, "Wednesday"
        THURSDAY = 3, "Thursday"
        FRIDAY = 4, "Friday"
        SATURDAY = 5, "Saturday"
        SUNDAY = 6, "Sunday"

    weekday = models.PositiveSmallIntegerField(choices=Weekday.choices)
    starts = models.PositiveSmallIntegerField()
    ends = models.PositiveSmallIntegerField()
    people = models.PositiveSmallIntegerField(default=1)
    who = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["weekday", "starts", "pk"]
        constraints = [
            _within_a_day("session_within_a_day"),
            models.CheckConstraint(condition=Q(weekday__lte=6, people__gte=1), name="session_of_somebody"),
        ]

    def __str__(self) -> str:
        return f"{self.get_weekday_display()}, {self.from_to}"

    def get_absolute_url(self) -> str:
        return reverse("schedule:session", args=[self.pk])


class SessionException(Record, _Hours):
    """From ``first`` to ``last``, both counted, the week's own sessions do not stand: nobody is there where no hours
    are given, else somebody is from ``starts`` to ``ends`` each of these days. Several may name the same day when
    their hours lie apart."""

    first = models.DateField()
    last = models.DateField()
    starts = models.PositiveSmallIntegerField(null=True)
    ends = models.PositiveSmallIntegerField(null=True)
    people = models.PositiveSmallIntegerField(default=1)
    reason = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["first", "starts", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(starts__isnull=True, ends__isnull=True) | Q(starts__lt=F("ends"), ends__lte=DAY),
                name="other_hours_within_a_day",
            ),
            models.CheckConstraint(condition=Q(first__lte=F("last"), people__gte=1), name="different_days_in_order"),
        ]

    def __str__(self) -> str:
        return f"{self.days}: {'nobody is there' if self.is_closed else self.from_to}"

    def get_absolute_url(self) -> str:
        return reverse("schedule:exception", args=[self.pk])

    @property
    def is_closed(self) -> bool:
        return self.starts is None

    @property
    def days(self) -> str:
        if self.first == self.last:
            return f"{self.first:%A}, {self.first.day} {self.first:%B %Y}"
        return f"{self.first.day} {self.first:%B %Y} to {self.last.day} {self.last:%B %Y}"


class Booking(_Hours):
    """Hours of a day that somebody wants: ``key`` names them for whoever wrote it, ``label`` for people. Whoever books
    writes all of a key's bookings anew when its plan changes."""

    label = models.CharField(max_length=160)
    key = models.CharField(max_length=60, db_index=True)
    on = models.DateField(db_index=True)
    starts = models.PositiveSmallIntegerField()
    ends = models.PositiveSmallIntegerField()
    words = models.CharField(max_length=200, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["on", "starts", "pk"]
        constraints = [_within_a_day("booking_within_a_day")]

    def __str__(self) -> str:
        return f"{self.label}: {self.on}, {self.from_to}"
