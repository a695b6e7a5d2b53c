"""What was measured of tiles once they were cut: from then on sizes follow what is, not what was planned."""

from __future__ import annotations

from django.db import models

from shopapp.common.fields import LengthField


class TileMeasured(models.Model):
    """So many tiles in so many pieces, laid end to end without glue, and their length; one of each for a gauged tile.
    Append-only: the newest of a sheet's key and plan counts, the older ones stay to be read.

    ``width`` is what a gauged strip measures across, where that was measured; ``keep`` is what stays as planned while
    the rest follows.
    """

    class Keep(models.TextChoices):
        BORDERS = "borders", "the borders"
        SIZE = "size", "the finished size"

    sheet = models.ForeignKey("plans.CutSheet", models.PROTECT, related_name="measures")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    tiles = models.PositiveSmallIntegerField()
    pieces = models.PositiveSmallIntegerField()
    length = LengthField()
    width = LengthField(null=True)
    keep = models.CharField(max_length=10, choices=Keep.choices)

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "tiles measured"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(pieces__gte=1, tiles__gte=models.F("pieces")), name="tiles_come_in_pieces"
            ),
            models.CheckConstraint(
                condition=models.Q(length__gt=0) & (models.Q(width=None) | models.Q(width__gt=0)),
                name="what_is_measured_is_there",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tiles} tile{'s' * (self.tiles != 1)} measured for {self.sheet.label}"
