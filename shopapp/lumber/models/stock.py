"""The wood that was bought, and every piece of it on the rack.

What is bought and what happens to a piece is written once and never changed: lots, entries and moves are append-only,
and a wrong entry is undone by another. What stands in a StockPiece is the sum of its entries, kept for quick lists and
checked by `manage.py verify`.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.db import models
from django.urls import reverse

from shopapp.common.fields import LengthField, ShareField
from shopapp.common.models import Record


class Supplier(Record):
    """Who wood is bought from, and how they count it."""

    class Rule(models.TextChoices):
        EXACT = "exact", "exactly as measured"
        SURFACE = "surface", "by surface measure, each board to the nearest whole square foot"
        WHOLE = "whole", "width to the nearest inch, length down to whole feet"
        WIDTH_UP = "width up", "width up to the next inch, length down to whole feet"

    name = models.CharField(max_length=80, unique=True)
    rule = models.CharField(max_length=10, choices=Rule.choices, default=Rule.EXACT)
    thin_as_inch = models.BooleanField(default=False)
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Delivery(models.Model):
    """One delivery or one visit to the yard, as it was entered in the book. Append-only."""

    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="deliveries")
    on = models.DateField()
    reference = models.CharField(max_length=60, blank=True)
    carriage = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    # How the seller counted that day; a supplier may change their rule later.
    rule = models.CharField(max_length=10, choices=Supplier.Rule.choices)
    thin_as_inch = models.BooleanField(default=False)
    note = models.CharField(max_length=200, blank=True)
    booked_at = models.DateTimeField(auto_now_add=True)
    booked_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-on", "-pk"]

    def __str__(self) -> str:
        return f"{self.supplier}, {self.on:%d %b %Y}"

    def get_absolute_url(self) -> str:
        return reverse("lumber:delivery", args=[self.pk])


class TicketPhoto(Record):
    """A photo of the ticket of a delivery, on its way to the small clean copy that is shown.

    ``incoming`` names the raw upload until the worker has copied it, and ``trouble`` says in plain words why nothing
    came of it.
    """

    delivery = models.ForeignKey(Delivery, models.PROTECT, related_name="tickets")
    brought_by = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    incoming = models.CharField(max_length=80, blank=True)
    task = models.CharField(max_length=64, blank=True)
    shown = models.ForeignKey("common.StoredImage", models.PROTECT, null=True, related_name="+")
    trouble = models.TextField(blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"ticket {self.pk} of {self.delivery}"

    @property
    def is_waiting(self) -> bool:
        return self.shown_id is None and not self.trouble


class Lot(models.Model):
    """One line of a delivery: boards alike in all but their marks. Append-only."""

    class Per(models.TextChoices):
        BOARD_FOOT = "bf", "a board foot"
        CUBIC_METRE = "m3", "a cubic metre"
        SQUARE_FOOT = "sqft", "a square foot"
        METRE = "m", "a running metre"
        KILOGRAM = "kg", "a kilogram"
        PIECE = "piece", "a piece"

    class Cut(models.TextChoices):
        UNKNOWN = "", "not noted"
        FLAT = "flat", "flat sawn"
        RIFT = "rift", "rift sawn"
        QUARTERED = "quartered", "quartered"

    delivery = models.ForeignKey(Delivery, models.PROTECT, related_name="lots")
    number = models.PositiveSmallIntegerField()
    wood = models.SlugField()
    grade = models.CharField(max_length=40, blank=True)
    # As it is sold: 5/4 stands for 1 1/4 in, whatever the board measures.
    nominal_thickness = LengthField()
    thickness = LengthField()
    width = LengthField()
    length = LengthField()
    count = models.PositiveSmallIntegerField(default=1)
    surfaced = models.BooleanField(default=False)
    cut = models.CharField(max_length=10, choices=Cut.choices, blank=True)
    sapwood = models.BooleanField(default=False)
    shade = models.CharField(max_length=40, blank=True)
    moisture = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    moisture_on = models.DateField(null=True)
    fit_on = models.DateField(null=True)
    price = models.DecimalField(max_digits=12, decimal_places=4)
    per = models.CharField(max_length=5, choices=Per.choices)
    mass_kg = models.DecimalField(max_digits=9, decimal_places=3, null=True)
    # Exact, as text ("25/6"): board feet the seller charged for, and board feet that are there.
    paid_bf = models.CharField(max_length=60)
    there_bf = models.CharField(max_length=60)
    goods = models.DecimalField(max_digits=12, decimal_places=4)
    tax = models.DecimalField(max_digits=12, decimal_places=4)
    carriage = models.DecimalField(max_digits=12, decimal_places=4)

    class Meta:
        ordering = ["delivery", "number"]
        constraints = [
            models.UniqueConstraint(fields=["delivery", "number"], name="one_lot_of_each_number"),
            models.CheckConstraint(
                condition=models.Q(nominal_thickness__gt=0, thickness__gt=0, width__gt=0, length__gt=0, count__gt=0),
                name="lot_has_a_size",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.delivery}, line {self.number}"

    @property
    def cost(self) -> Decimal:
        return self.goods + self.tax + self.carriage


class Demand(models.Model):
    """Somebody of the shop wants wood: a ``label`` to read, and a ``key`` only the one who wants it understands."""

    label = models.CharField(max_length=120)
    key = models.CharField(max_length=80, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.label


class StockPiece(Record):
    """A piece of wood with a mark chalked on it: bought, or split off another. Never deleted.

    ``worth`` is its share of what its lot cost while it is on the rack, and nothing once it has gone.
    """

    class State(models.TextChoices):
        HERE = "here", "on the rack"
        TAKEN = "taken", "taken"
        SPLIT = "split", "split"
        SCRAPPED = "scrapped", "scrapped"
        MISSING = "missing", "not found"
        UNDONE = "undone", "never was"

    mark = models.CharField(max_length=12, unique=True)
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="pieces")
    parent = models.ForeignKey("self", models.PROTECT, null=True, related_name="offcuts")
    wood = models.SlugField(db_index=True)
    thickness = LengthField()
    width = LengthField()
    length = LengthField()
    surfaced = models.BooleanField(default=False)
    place = models.CharField(max_length=60, blank=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.HERE)
    set_aside = models.CharField(max_length=120, blank=True)
    worth = models.DecimalField(max_digits=12, decimal_places=4)
    # Who it is promised to, or who took it.
    demand = models.ForeignKey(Demand, models.PROTECT, null=True, related_name="pieces")

    class Meta:
        ordering = ["wood", "-length", "mark"]
        indexes = [
            # In the order of the list, so that a far page is walked to and not sorted.
            models.Index(fields=["state", "wood", "-length", "mark"], name="pieces_as_they_are_listed"),
            models.Index(fields=["state", "place"]),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(thickness__gt=0, width__gt=0, length__gt=0), name="piece_has_a_size"
            ),
            models.CheckConstraint(condition=models.Q(worth__gte=0), name="piece_worth_not_negative"),
            # Worth leaves the rack with the piece.
            models.CheckConstraint(
                condition=models.Q(state="here") | models.Q(worth=0), name="only_what_is_here_is_worth_something"
            ),
        ]

    def __str__(self) -> str:
        return self.mark

    def get_absolute_url(self) -> str:
        return reverse("lumber:piece", args=[self.mark])


class StockEntry(models.Model):
    """One thing that happened to pieces, in a sentence. Append-only; undone by another entry that names it."""

    class Kind(models.TextChoices):
        BOUGHT = "bought", "bought"
        SPLIT = "split", "split"
        MEASURED = "measured", "measured again"
        SURFACED = "surfaced", "surfaced"
        MOVED = "moved", "moved"
        ASIDE = "aside", "set aside"
        SCRAPPED = "scrapped", "scrapped"
        RESERVED = "reserved", "reserved"
        RELEASED = "released", "released"
        TAKEN = "taken", "taken"
        RETURNED = "returned", "returned"
        COUNTED = "counted", "counted"
        UNDONE = "undone", "undone"

    kind = models.CharField(max_length=10, choices=Kind.choices)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=400)
    demand = models.ForeignKey(Demand, models.PROTECT, null=True, related_name="entries")
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")

    class Meta:
        ordering = ["-pk"]
        verbose_name_plural = "stock entries"

    def __str__(self) -> str:
        return self.words


class StockMove(models.Model):
    """What an entry did to one piece: what the piece was and became, and the worth that went from account to account.
    Append-only. ``came_from`` and ``went_to`` name accounts: a supplier, the rack, waste, whoever took it; the sum of
    all that came to the rack less all that left it is what the rack is worth.
    """

    entry = models.ForeignKey(StockEntry, models.PROTECT, related_name="moves")
    piece = models.ForeignKey(StockPiece, models.PROTECT, related_name="moves")
    came_from = models.CharField(max_length=100, blank=True)
    went_to = models.CharField(max_length=100, blank=True)
    worth = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    # The piece's own fields before and after, only those that changed; lengths in nanometres.
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)

    class Meta:
        ordering = ["entry", "pk"]
        constraints = [models.CheckConstraint(condition=models.Q(worth__gte=0), name="move_worth_not_negative")]

    def __str__(self) -> str:
        return f"{self.piece}: {self.entry.words}"
