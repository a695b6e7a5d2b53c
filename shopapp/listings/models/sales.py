"""What was sold, what was given back of it, and what selling cost: written once, put right by another row."""

from __future__ import annotations

from fractions import Fraction

from django.db import models

from shopapp.common.fields import ShareField


def _money(**kwargs) -> models.DecimalField:
    return models.DecimalField(max_digits=12, decimal_places=4, **kwargs)


class Sale(models.Model):
    """A piece sold, to whom and through what, for ``gross`` in all: ``price`` and ``carriage``, of which ``tax_sum`` is
    tax; ``net`` + ``tax_sum`` is ``gross``. Append-only but for what an erasure may take away.

    The one that stands is its piece's ``sale``. One that is not, and has no ending, came too late: two sold one piece
    apart from each other, and somebody has to say which stands. ``key`` is what the device that wrote it called it, so
    that it is taken once; ``account_key`` the account it is paid on, where there is one. ``settled`` is how the price
    was shared out as it was written.
    """

    class How(models.TextChoices):
        CASH = "cash", "cash"
        TRANSFER = "transfer", "bank transfer"
        CARD = "card", "card"
        INVOICE = "invoice", "on an invoice"
        OTHER = "other", "another way"

    piece = models.ForeignKey("listings.Piece", models.PROTECT, related_name="sales")
    listing = models.ForeignKey("listings.Listing", models.PROTECT, null=True, related_name="sales")
    channel = models.ForeignKey("listings.Channel", models.PROTECT, null=True, related_name="sales")
    fair = models.ForeignKey("listings.Fair", models.PROTECT, null=True, related_name="sales")
    on = models.DateField()
    person = models.ForeignKey("people.Person", models.PROTECT, null=True, related_name="sales")
    to_whom = models.CharField(max_length=80, blank=True)
    price = _money()
    carriage = _money(default=0)
    gross = _money()
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    tax_sum = _money(default=0)
    net = _money()
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    how = models.CharField(max_length=8, choices=How.choices)
    account_key = models.CharField(max_length=60, blank=True)
    key = models.CharField(max_length=60, blank=True)
    settled = models.JSONField(default=dict)
    words = models.CharField(max_length=400, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(price__gt=0, carriage__gte=0, tax_sum__gte=0, net__gt=0), name="sale_is_of_a_sum"
            ),
            models.UniqueConstraint(fields=["key"], condition=~models.Q(key=""), name="a_sale_written_once"),
        ]
        indexes = [models.Index(fields=["on"])]

    def __str__(self) -> str:
        return f"{self.piece} sold"


class SaleChange(models.Model):
    """What became of a sale: a part was given back, or it ended. Append-only; a sale ends once. A part that was not
    given back after all is taken back by another of the opposite amount that names it in ``undoes``."""

    class Kind(models.TextChoices):
        REDUCED = "reduced", "a part was given back"
        RETURNED = "returned", "the piece came back"
        FELL_THROUGH = "fell through", "it fell through"
        GAVE_WAY = "gave way", "gave way to another sale"
        MISTAKE = "mistake", "written down by mistake"

    sale = models.ForeignKey(Sale, models.PROTECT, related_name="changes")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    on = models.DateField()
    # What was given back in all, and the tax in it.
    back = _money(default=0)
    back_tax = _money(default=0)
    words = models.CharField(max_length=400, blank=True)
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["sale"], condition=~models.Q(kind="reduced"), name="a_sale_ends_once"),
            models.CheckConstraint(
                condition=models.Q(undoes=None, back__gte=0, back_tax__gte=0, back_tax__lte=models.F("back"))
                | models.Q(
                    undoes__isnull=False, kind="reduced", back__lt=0, back_tax__lte=0, back_tax__gte=models.F("back")
                ),
                name="what_is_given_back_is_a_sum",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sale}: {self.get_kind_display()}"


class Expense(models.Model):
    """What selling cost: fees, carriage paid, a stall. Append-only: one is taken back by another of the opposite amount
    that names it in ``undoes`` and says ``why``. It is of a sale, of a piece, of a fair, or of the shop as a whole."""

    class Kind(models.TextChoices):
        FEE = "fee", "fee"
        CARRIAGE = "carriage", "carriage"
        STALL = "stall", "stall"
        TRAVEL = "travel", "travel"
        PACKAGING = "packaging", "packaging"
        REPAIR = "repair", "repair"
        OTHER = "other", "other"

    kind = models.CharField(max_length=9, choices=Kind.choices)
    on = models.DateField()
    amount = _money()
    currency_symbol = models.CharField(max_length=4)
    currency_exponent = models.PositiveSmallIntegerField()
    words = models.CharField(max_length=200)
    sale = models.ForeignKey(Sale, models.PROTECT, null=True, related_name="expenses")
    piece = models.ForeignKey("listings.Piece", models.PROTECT, null=True, related_name="expenses")
    fair = models.ForeignKey("listings.Fair", models.PROTECT, null=True, related_name="expenses")
    channel = models.ForeignKey("listings.Channel", models.PROTECT, null=True, related_name="expenses")
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")
    key = models.CharField(max_length=60, blank=True)
    why = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    who = models.ForeignKey("people.Member", models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(condition=~models.Q(amount=0), name="expense_is_of_something"),
            models.UniqueConstraint(fields=["key"], condition=~models.Q(key=""), name="an_expense_written_once"),
        ]
        indexes = [models.Index(fields=["on"])]

    def __str__(self) -> str:
        return self.words
