"""Consumables: glue, abrasives, oil and the like, held by amount and worth at the moving average of what they cost."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.urls import reverse

from shopapp.common.models import Record


class Supply(Record):
    """One consumable. ``amount`` and ``worth`` are the sum of its entries, kept for quick lists and checked by
    `manage.py verify`; what one costs is the one over the other."""

    class Kind(models.TextChoices):
        GLUE = "glue", "glue"
        ABRASIVE = "abrasive", "abrasive"
        FINISH = "finish", "oil and finish"
        OTHER = "other", "something else"

    class Unit(models.TextChoices):
        MILLILITRE = "ml", "ml"
        LITRE = "l", "l"
        GRAM = "g", "g"
        KILOGRAM = "kg", "kg"
        PIECE = "piece", "pieces"
        SHEET = "sheet", "sheets"
        METRE = "m", "m"

    name = models.CharField(max_length=80, unique=True)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    unit = models.CharField(max_length=6, choices=Unit.choices)
    place = models.CharField(max_length=60, blank=True)
    # Below this it is time to buy; none when nobody asked to be told.
    low = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    amount = models.DecimalField(max_digits=12, decimal_places=3, default=Decimal(0))
    worth = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    kept = models.BooleanField(default=True)

    class Meta:
        ordering = ["-kept", "kind", "name"]
        verbose_name_plural = "supplies"
        constraints = [
            models.CheckConstraint(condition=models.Q(amount__gte=0, worth__gte=0), name="supply_not_negative"),
            models.CheckConstraint(
                condition=models.Q(amount__gt=0) | models.Q(worth=0), name="no_worth_without_an_amount"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("lumber:supply", args=[self.pk])


class SupplyEntry(models.Model):
    """One thing that happened to a consumable, with what it added to its amount and worth (less than nothing when it
    took). Append-only; undone by another entry that names it."""

    class Kind(models.TextChoices):
        BOUGHT = "bought", "bought"
        USED = "used", "used"
        COUNTED = "counted", "counted"
        UNDONE = "undone", "undone"

    supply = models.ForeignKey(Supply, models.PROTECT, related_name="entries")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    at = models.DateTimeField(auto_now_add=True)
    # The day it happened, which may lie before the day it was written down.
    on = models.DateField()
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=400)
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    worth = models.DecimalField(max_digits=12, decimal_places=4)
    # What it came to, so that the story can be read without adding up.
    amount_after = models.DecimalField(max_digits=12, decimal_places=3)
    worth_after = models.DecimalField(max_digits=12, decimal_places=4)
    supplier = models.ForeignKey("lumber.Supplier", models.PROTECT, null=True, related_name="supplies")
    # Whoever used it, when it was used for somebody.
    demand = models.ForeignKey("lumber.Demand", models.PROTECT, null=True, related_name="supplies")
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "supply entries"

    def __str__(self) -> str:
        return self.words
