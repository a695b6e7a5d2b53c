"""A picture as it was brought, the grids read from it, and the drawings of woods kept from them."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

from shopapp.common.models import Record


class Design(Record):
    """A board's picture on its way from a file, or from a blank grid, to a pattern.

    ``incoming`` names the raw upload until the worker has decoded it; ``original`` is the clean copy that came of
    it, ``shown`` a smaller one where that is too large for a page, and ``grid`` the cells as they are now taken: as
    read, or as the newest of ``grids`` has corrected them. ``reading`` says what was seen (kind, pitch, place of the
    grid, runners-up, notes) and ``trouble`` in plain words why nothing could be read; ``no_grid`` that there is a
    picture, only no grid in it, so that it can be reduced to one.
    """

    SOURCES = [("picture", "a picture"), ("blank", "a blank grid"), ("pattern", "a pattern brought in")]
    RIGHTS = [
        ("own", "mine"),
        ("permission", "the customer’s, with permission"),
        ("open", "under an open licence"),
        ("gift", "for a private gift only"),
        ("unknown", "not known"),
    ]

    name = models.CharField(max_length=80)
    source = models.CharField(max_length=10, choices=SOURCES, default="picture")
    incoming = models.CharField(max_length=80, blank=True)
    reading_task = models.CharField(max_length=64, blank=True)
    original = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    shown = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    grid = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    reading = models.JSONField(default=dict)
    trouble = models.TextField(blank=True)
    no_grid = models.BooleanField(default=False)
    rights = models.CharField(max_length=12, choices=RIGHTS, default="unknown")
    # Which open licence, or who gave the permission and when.
    rights_note = models.CharField(max_length=200, blank=True)
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
        return self.source == "picture" and not self.is_read and not self.trouble


class KeptGrid(models.Model):
    """A grid as a maker confirmed or corrected it. Never edited: another correction is another one."""

    MADE = [
        ("read", "as read"),
        ("other", "another reading"),
        ("corrected", "corrected by hand"),
        ("reduced", "reduced to a chosen grid"),
    ]

    design = models.ForeignKey(Design, models.PROTECT, related_name="grids")
    number = models.PositiveIntegerField()
    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    made = models.CharField(max_length=10, choices=MADE)
    grid = models.ForeignKey("common.StoredImage", models.PROTECT, related_name="+")
    # Where its cells lie on the picture, or how the picture was cut and reduced; and what was changed, in words.
    place = models.JSONField(default=dict)
    changes = models.JSONField(default=list)

    class Meta:
        ordering = ["design", "-number"]
        constraints = [models.UniqueConstraint(fields=["design", "number"], name="one_grid_of_each_number")]

    def __str__(self) -> str:
        return f"{self.design}, grid {self.number}"


class RightsAnswer(models.Model):
    """What was answered when a picture that is unknown or for a gift only was to be quoted or listed."""

    PURPOSES = [("quote", "quoted"), ("list", "listed")]

    design = models.ForeignKey(Design, models.PROTECT, related_name="rights_answers")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    purpose = models.CharField(max_length=10, choices=PURPOSES)
    rights = models.CharField(max_length=12, choices=Design.RIGHTS)
    answer = models.CharField(max_length=400)

    class Meta:
        ordering = ["design", "-pk"]

    def __str__(self) -> str:
        return self.answer


class PatternVersion(models.Model):
    """One kept drawing of a design: a pattern of woods. Never edited, only named: a change is another drawing, whose
    ``parent`` is the one it was changed from, so that two who change the same one branch and lose nothing."""

    MADE = [("woods", "woods chosen"), ("bench", "drawn at the bench"), ("brought", "brought in")]

    design = models.ForeignKey(Design, models.PROTECT, related_name="versions")
    number = models.PositiveIntegerField()
    name = models.CharField(max_length=60, blank=True)
    parent = models.ForeignKey("self", models.PROTECT, null=True, related_name="children")
    made = models.CharField(max_length=10, choices=MADE, default="woods")
    kept_at = models.DateTimeField(auto_now_add=True)
    kept_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    # The planner's own text form: rows of runs as a maker lays them, with wood ids.
    pattern = models.TextField()
    height = models.PositiveIntegerField()
    width = models.PositiveIntegerField()
    # How the woods were chosen, so that the choice can be shown again and changed: the wood of each colour of the
    # grid, the background added, colours merged, woods barred.
    choices = models.JSONField(default=dict)

    class Meta:
        ordering = ["design", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["design", "number"], name="one_pattern_of_each_number"),
            models.CheckConstraint(
                condition=models.Q(height__range=(1, 200), width__range=(1, 200)), name="pattern_within_limits"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.design}, {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("designs:drawing", args=[self.design_id, self.number])

    @property
    def title(self) -> str:
        return f"drawing {self.number}, {self.name}" if self.name else f"drawing {self.number}"
