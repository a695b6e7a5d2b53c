"""A picture as it was brought, the grid read from it, and the pattern of woods kept from that grid."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

from shopapp.common.models import Record


class Design(Record):
    """A board's picture on its way from a file to a pattern.

    ``incoming`` names the raw upload until the worker has decoded it; ``original`` and ``grid`` are the clean
    copies that came of it. ``reading`` says what was seen (kind, scale, notes) and ``trouble`` in plain words
    why nothing could be read.
    """

    name = models.CharField(max_length=80)
    incoming = models.CharField(max_length=80, blank=True)
    reading_task = models.CharField(max_length=64, blank=True)
    original = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    grid = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    reading = models.JSONField(default=dict)
    trouble = models.TextField(blank=True)
    set_aside = models.BooleanField(default=False)

    class Meta:
        ordering = ["-changed_at", "-pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("designs:design", args=[self.pk])

    @property
    def is_read(self) -> bool:
        return self.grid_id is not None

    @property
    def awaits_reading(self) -> bool:
        return not self.is_read and not self.trouble


class PatternVersion(models.Model):
    """One kept pattern of a design. Never edited: another choice of woods is another version."""

    design = models.ForeignKey(Design, models.PROTECT, related_name="versions")
    number = models.PositiveIntegerField()
    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    # The planner's own text form: rows of runs as a maker lays them, with wood ids.
    pattern = models.TextField()
    height = models.PositiveIntegerField()
    width = models.PositiveIntegerField()
    # Which wood each colour of the grid became, so that the choice can be shown again and changed.
    choices = models.JSONField(default=list)

    class Meta:
        ordering = ["design", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["design", "number"], name="one_pattern_of_each_number"),
            models.CheckConstraint(
                condition=models.Q(height__range=(1, 200), width__range=(1, 200)), name="pattern_within_limits"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.design}, drawing {self.number}"
