"""An offer made from a kept plan. What was written in it is never changed: a changed offer is another quote, which
names the one it replaces; how far a quote has come is told by its events."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import models
from django.urls import reverse

from shopapp.common.fields import ShareField


class Quote(models.Model):
    """One page: for whom, what, for how much, until when. Append-only.

    ``price`` is that of one board and ``carriage`` that of all of them; ``tax`` is a share, held in both or added to
    both, as the shop had it on the day the quote was made.
    """

    year = models.PositiveSmallIntegerField()
    number = models.PositiveIntegerField()
    plan = models.ForeignKey("plans.Plan", models.PROTECT, related_name="quotes")
    replaces = models.OneToOneField("self", models.PROTECT, null=True, related_name="replaced_by")
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    for_whom = models.CharField(max_length=80)
    title = models.CharField(max_length=80)
    dated = models.DateField()
    valid_until = models.DateField()
    boards = models.PositiveIntegerField()
    price = models.DecimalField(max_digits=12, decimal_places=4)
    carriage = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    words = models.CharField(max_length=600, blank=True)
    care = models.CharField(max_length=300)
    left_out = models.CharField(max_length=300, blank=True)
    terms = models.CharField(max_length=600, blank=True)

    class Meta:
        ordering = ["-year", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["year", "number"], name="one_quote_of_each_number"),
            models.CheckConstraint(condition=models.Q(price__gt=0, carriage__gte=0), name="quote_has_a_price"),
            models.CheckConstraint(
                condition=models.Q(valid_until__gte=models.F("dated")), name="quote_is_valid_on_its_day"
            ),
        ]

    def __str__(self) -> str:
        return f"Quote {self.reference}"

    def get_absolute_url(self) -> str:
        return reverse("quotes:quote", args=[self.pk])

    @property
    def reference(self) -> str:
        return f"{self.year}-{self.number:03d}"

    def is_past(self, today: date) -> bool:
        return today > self.valid_until


class QuoteEvent(models.Model):
    """What became of a quote, in a sentence. Append-only; each happens once, and one alone ends it."""

    class Kind(models.TextChoices):
        MADE = "made", "made"
        SENT = "sent", "sent"
        ACCEPTED = "accepted", "accepted"
        DECLINED = "declined", "declined"
        LAPSED = "lapsed", "lapsed"
        REPLACED = "replaced", "replaced by another"

    ENDS = (Kind.ACCEPTED, Kind.DECLINED, Kind.LAPSED, Kind.REPLACED)

    quote = models.ForeignKey(Quote, models.PROTECT, related_name="events")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "kind"], name="each_quote_event_once"),
            models.UniqueConstraint(
                fields=["quote"],
                condition=models.Q(kind__in=["accepted", "declined", "lapsed", "replaced"]),
                name="a_quote_ends_once",
            ),
        ]

    def __str__(self) -> str:
        return self.words


class QuotePaper(models.Model):
    """The paper of a quote: asked for as it is made, rendered by the worker, then stored for good."""

    quote = models.OneToOneField(Quote, models.PROTECT, related_name="paper")
    task = models.CharField(max_length=64, blank=True)
    document = models.ForeignKey("common.StoredDocument", models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"Paper of {self.quote}"
