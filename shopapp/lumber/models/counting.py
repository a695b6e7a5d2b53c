"""A stocktake: what is there, counted against the book. Its differences become entries when it is closed."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

from shopapp.common.fields import LengthField
from shopapp.common.models import Record

from .stock import StockEntry, StockPiece


class Stocktake(Record):
    """One round along the rack, open until its differences are written."""

    wood = models.SlugField(blank=True)
    place = models.CharField(max_length=60, blank=True)
    begun_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    closed_at = models.DateTimeField(null=True)
    closed_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    # The entry that wrote its differences; none while it is open, or where book and rack agreed.
    entry = models.OneToOneField(StockEntry, models.PROTECT, null=True, related_name="stocktake")

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"Stocktake of {self.created_at:%d %b %Y}"

    def get_absolute_url(self) -> str:
        return reverse("lumber:stocktake", args=[self.pk])


class StocktakeCount(Record):
    """What was found of one piece: there or not, and its sizes where they differ from the book. ``place`` is where it
    lies now, when it was ``moved``."""

    stocktake = models.ForeignKey(Stocktake, models.PROTECT, related_name="counts")
    piece = models.ForeignKey(StockPiece, models.PROTECT, related_name="counts")
    # The edit version of the piece when it was counted: what was changed since is not overwritten.
    piece_version = models.PositiveIntegerField()
    found = models.BooleanField()
    thickness = LengthField(null=True)
    width = LengthField(null=True)
    length = LengthField(null=True)
    moved = models.BooleanField(default=False)
    place = models.CharField(max_length=60, blank=True)
    counted_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["stocktake", "piece"], name="a_piece_is_counted_once"),
        ]

    def __str__(self) -> str:
        return f"{self.piece}: {'found' if self.found else 'not found'}"
