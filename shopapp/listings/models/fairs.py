"""A fair where pieces are shown and sold."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.urls import reverse

from shopapp.common.models import Record


class Fair(Record):
    """Its days, and the ``minutes`` somebody stood there, at ``hour`` each hour. What it cost are its expenses; both
    are shared over what sold. Never deleted."""

    name = models.CharField(max_length=80)
    town = models.CharField(max_length=80, blank=True)
    first = models.DateField()
    last = models.DateField()
    minutes = models.PositiveIntegerField(default=0)
    hour = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))

    class Meta:
        ordering = ["-first", "-pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(last__gte=models.F("first")), name="fair_ends_after_it_begins")
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("listings:fair", args=[self.pk])

    @property
    def key(self) -> str:
        return f"fair {self.pk}"


class FairHours(models.Model):
    """How many ``minutes`` somebody stood at a fair on a day of it. Append-only: of one day the newest counts, and the
    fair's ``minutes`` are those of all its days."""

    fair = models.ForeignKey(Fair, models.PROTECT, related_name="days")
    on = models.DateField()
    minutes = models.PositiveIntegerField()
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "hours at fairs"

    def __str__(self) -> str:
        return f"{self.fair}, {self.on}"
