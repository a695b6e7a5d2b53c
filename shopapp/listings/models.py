"""A finished piece offered to whoever wants it, and what became of it."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.urls import reverse

from shopapp.common.erasing import struck
from shopapp.common.models import Record


class Listing(Record):
    """A finished piece of a job with its words and its asked price. Never deleted.

    ``state`` is the newest event's, kept for quick lists and checked by `manage.py verify`.
    """

    class State(models.TextChoices):
        FOR_SALE = "for sale", "for sale"
        SOLD = "sold", "sold"
        GIVEN = "given", "given away"

    job = models.ForeignKey("jobs.Job", models.PROTECT, related_name="listings")
    title = models.CharField(max_length=80)
    words = models.CharField(max_length=1000, blank=True)
    price = models.DecimalField(max_digits=12, decimal_places=4)
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=10, choices=State.choices, default=State.FOR_SALE)

    class Meta:
        ordering = ["-pk"]
        constraints = [models.CheckConstraint(condition=models.Q(price__gt=0), name="listing_has_a_price")]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("listings:listing", args=[self.pk])


class ListingEvent(models.Model):
    """What became of a listed piece, in a sentence: the day, to whom it went, and what was got for it. Append-only but
    for the name, which an erasure may take away; a sale that falls through is followed by another event and stays."""

    listing = models.ForeignKey(Listing, models.PROTECT, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    state = models.CharField(max_length=10, choices=Listing.State.choices)
    on = models.DateField()
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="pieces")
    to_whom = models.CharField(max_length=80, blank=True)
    got = models.DecimalField(max_digits=12, decimal_places=4, null=True)
    words = models.CharField(max_length=400)
    # What is said of it where neither money nor names are to be seen.
    plain_words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                # Spelled out, for to a database what compares with nothing is not refused.
                condition=models.Q(state="sold", got__isnull=False, got__gt=Decimal(0))
                | (~models.Q(state="sold") & models.Q(got=None)),
                name="what_is_sold_has_its_price",
            )
        ]

    def __str__(self) -> str:
        return self.words

    @property
    def told_plainly(self) -> str:
        """Without the name that older rows have in their plain words."""
        return struck(self.plain_words, [self.to_whom], "somebody")
