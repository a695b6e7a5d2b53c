"""A piece in its box, and how far it came."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

from shopapp.common.fields import LengthField
from shopapp.common.models import Record


class Parcel(Record):
    """``grams`` as it was weighed; ``cover`` is what it is insured for. ``state`` is the newest event's, checked by
    `manage.py verify`. What its carriage cost is an expense. ``remake`` is the job that was begun in the place of what
    was in it."""

    class State(models.TextChoices):
        PACKED = "packed", "packed"
        SENT = "sent", "sent"
        ARRIVED = "arrived", "arrived"
        DAMAGED = "damaged", "arrived damaged"
        LOST = "lost", "lost on the way"
        BACK = "back", "came back"

    piece = models.ForeignKey("listings.Piece", models.PROTECT, related_name="parcels")
    sale = models.ForeignKey("listings.Sale", models.PROTECT, null=True, related_name="parcels")
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="parcels")
    length = LengthField(null=True)
    width = LengthField(null=True)
    height = LengthField(null=True)
    grams = models.PositiveIntegerField(null=True)
    cover = models.DecimalField(max_digits=12, decimal_places=4, null=True)
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    carrier = models.CharField(max_length=60, blank=True)
    number = models.CharField(max_length=60, blank=True)
    state = models.CharField(max_length=8, choices=State.choices, default=State.PACKED)
    remake = models.OneToOneField("jobs.Job", models.PROTECT, null=True, related_name="in_place_of")

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"Parcel of {self.piece}"

    def get_absolute_url(self) -> str:
        return reverse("listings:parcel", args=[self.pk])


class ParcelEvent(models.Model):
    """How far a parcel came, in a sentence. Append-only but for what an erasure may take away."""

    parcel = models.ForeignKey(Parcel, models.PROTECT, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    state = models.CharField(max_length=8, choices=Parcel.State.choices)
    on = models.DateField()
    words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.words
