"""A finished piece offered to whoever wants it, through which channels, and what became of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import models
from django.urls import reverse
from django.utils import timezone

from shopapp.common.erasing import struck
from shopapp.common.fields import ShareField
from shopapp.common.models import Record


def _money(**kwargs) -> models.DecimalField:
    return models.DecimalField(max_digits=12, decimal_places=4, **kwargs)


class Channel(Record):
    """One way pieces are sold, and what it takes of a sale. Never deleted: one that is not used any more is set aside.

    ``own_fees`` is false where the fees of the settings stand. A shop on sale or return is a person of the book.
    """

    class Kind(models.TextChoices):
        HAND = "hand", "from hand to hand"
        PAGE = "page", "our own page"
        SITE = "site", "another site"
        SHOP = "shop", "a shop, on sale or return"
        FAIR = "fair", "fairs"

    name = models.CharField(max_length=60, unique=True)
    kind = models.CharField(max_length=5, choices=Kind.choices)
    kept = models.BooleanField(default=True)
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="channels")
    own_fees = models.BooleanField(default=True)
    percent = ShareField(default=Fraction(0))
    fixed = _money(default=Decimal(0))
    on_carriage = models.BooleanField(default=True)
    on_tax = models.BooleanField(default=False)
    minimum = _money(null=True)
    cap = _money(null=True)
    # What offering a piece there costs, sold or not.
    per_listing = _money(default=Decimal(0))

    class Meta:
        ordering = ["-kept", "name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("listings:channel", args=[self.pk])


class Listing(Record):
    """A finished piece with its words and its asked price. Never deleted; a piece has one that is not withdrawn.

    ``state`` is the newest event's, kept for quick lists and checked by `manage.py verify`; how it ``stands`` is that,
    but for what is held past its day: that is for sale again by itself. ``public`` lets visitors of
    the shop's page see it, while it is for sale.
    """

    class State(models.TextChoices):
        FOR_SALE = "for sale", "for sale"
        HELD = "held", "held"
        SOLD = "sold", "sold"
        GIVEN = "given", "given away"
        WITHDRAWN = "withdrawn", "withdrawn"

    piece = models.ForeignKey("listings.Piece", models.PROTECT, related_name="listings")
    job = models.ForeignKey("jobs.Job", models.PROTECT, related_name="listings")
    title = models.CharField(max_length=80)
    words = models.CharField(max_length=1000, blank=True)
    price = models.DecimalField(max_digits=12, decimal_places=4)
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=10, choices=State.choices, default=State.FOR_SALE)
    held_until = models.DateField(null=True)
    public = models.BooleanField(default=False)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(price__gt=0), name="listing_has_a_price"),
            models.UniqueConstraint(
                fields=["piece"], condition=~models.Q(state="withdrawn"), name="a_piece_is_listed_once"
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("listings:listing", args=[self.pk])

    @property
    def is_held_no_more(self) -> bool:
        """Whether the day it was held until has passed."""
        held = self.state == self.State.HELD and self.held_until is not None
        return held and self.held_until < timezone.localdate()

    @property
    def stands(self) -> str:
        return self.State.FOR_SALE if self.is_held_no_more else self.state

    def get_state_display(self) -> str:
        return self.State(self.stands).label

    @classmethod
    def is_for_sale(cls, today: date) -> models.Q:
        """Of rows, what ``stands`` says of one."""
        return models.Q(state=cls.State.FOR_SALE) | models.Q(state=cls.State.HELD, held_until__lt=today)


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
    sale = models.ForeignKey("listings.Sale", models.PROTECT, null=True, related_name="+")
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


class Offering(Record):
    """A listing offered through a channel at a price; ``on`` while it is. ``since`` is the day it was put there."""

    listing = models.ForeignKey(Listing, models.PROTECT, related_name="offerings")
    channel = models.ForeignKey(Channel, models.PROTECT, related_name="offerings")
    price = _money()
    since = models.DateField()
    on = models.BooleanField(default=True)
    reference = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["listing", "channel"], name="offered_once_through_each_channel"),
            models.CheckConstraint(condition=models.Q(price__gt=0), name="offering_has_a_price"),
        ]

    def __str__(self) -> str:
        return f"{self.listing} through {self.channel}"
