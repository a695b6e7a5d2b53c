"""A finished piece: its number, its facts, where it is, its photos, and what it cost."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

from shopapp.common.fields import ShareField
from shopapp.common.models import Record


class Piece(Record):
    """A board that was made and numbered. Never deleted.

    ``facts`` is canonical JSON of what its job said of it on the day it was numbered, and is never worked out again.
    ``where`` is the newest event's, ``sale`` the sale that stands; both are checked by `manage.py verify`. A piece is
    sold by whoever sets ``sale`` while it is empty, in the transaction that writes the sale. ``instead_of`` is the
    piece a remake was made in the place of.
    """

    class Where(models.TextChoices):
        HERE = "here", "here"
        FAIR = "fair", "at a fair"
        SHOP = "shop", "with a shop, on sale or return"
        SENT = "sent", "on its way"
        SOLD = "sold", "sold"
        GIVEN = "given", "given away"
        DAMAGED = "damaged", "here, damaged"
        GONE = "gone", "written off"

    number = models.PositiveIntegerField(unique=True)
    job = models.ForeignKey("jobs.Job", models.PROTECT, related_name="pieces")
    title = models.CharField(max_length=80)
    made_on = models.DateField()
    facts = models.JSONField(default=dict)
    spares = models.CharField(max_length=200, blank=True)
    where = models.CharField(max_length=8, choices=Where.choices, default=Where.HERE)
    sale = models.OneToOneField("listings.Sale", models.PROTECT, null=True, related_name="held_by")
    instead_of = models.OneToOneField("self", models.PROTECT, null=True, related_name="made_again")

    class Meta:
        ordering = ["-number"]
        indexes = [models.Index(fields=["where"])]

    def __str__(self) -> str:
        return f"No. {self.number}, {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("listings:piece", args=[self.pk])


class PieceEvent(models.Model):
    """Where a piece went, in a sentence. Append-only but for what an erasure may take away.

    ``channel`` is the shop it lies with, at ``commission`` and until ``back_by``; ``fair`` the fair it is at. Given
    away it may have gone out ``instead_of`` another, so that what it cost stands with that loss.
    """

    piece = models.ForeignKey(Piece, models.PROTECT, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    where = models.CharField(max_length=8, choices=Piece.Where.choices)
    on = models.DateField()
    channel = models.ForeignKey("listings.Channel", models.PROTECT, null=True, related_name="+")
    commission = ShareField(null=True)
    back_by = models.DateField(null=True)
    fair = models.ForeignKey("listings.Fair", models.PROTECT, null=True, related_name="+")
    instead_of = models.ForeignKey(Piece, models.PROTECT, null=True, related_name="+")
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="+")
    to_whom = models.CharField(max_length=80, blank=True)
    words = models.CharField(max_length=400)
    # What is said of it where neither money nor names are to be seen.
    plain_words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.words


class PiecePhoto(Record):
    """A photo of a piece: ``incoming`` until the worker has read it, then ``image``. One of a piece may be chosen; one
    that is ``taken_away`` is shown nowhere. Visitors of the shop's page see the chosen one and those that are ``shown``
    besides."""

    piece = models.ForeignKey(Piece, models.PROTECT, related_name="photos")
    place = models.PositiveSmallIntegerField()
    incoming = models.CharField(max_length=80, blank=True)
    task = models.CharField(max_length=64, blank=True)
    image = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=160, blank=True)
    chosen = models.BooleanField(default=False)
    shown = models.BooleanField(default=False)
    taken_away = models.BooleanField(default=False)

    class Meta:
        ordering = ["place", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["piece"], condition=models.Q(chosen=True), name="one_photo_of_a_piece_is_chosen"
            )
        ]

    def __str__(self) -> str:
        return self.words or f"Photo {self.place}"


class PieceCost(models.Model):
    """One line of what a piece cost to make. Append-only: what is known better later is the difference, as another row.

    ``basis`` says what the amount follows from.
    """

    class Kind(models.TextChoices):
        WOOD = "wood", "wood"
        SUPPLIES = "supplies", "supplies and fittings"
        LABOUR = "labour", "labour"
        OVERHEAD = "overhead", "overhead"
        OTHER = "other", "other"

    class Basis(models.TextChoices):
        WRITTEN = "written", "as written down"
        PLANNED = "planned", "as planned"

    piece = models.ForeignKey(Piece, models.PROTECT, related_name="costs")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    name = models.CharField(max_length=80)
    basis = models.CharField(max_length=8, choices=Basis.choices)
    amount = models.DecimalField(max_digits=12, decimal_places=4)
    minutes = models.IntegerField(default=0)
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    on = models.DateField()
    words = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name
