"""The workshop's settings: one row, and the fees of its channel."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.db import models

from planner.measures import Length
from shopapp.common.fields import LengthField, ShareField
from shopapp.common.models import Record
from shopapp.common.woodmeasure import BOARD_FEET, CUBIC_DECIMETRES, MEASURES, WoodMeasure

_mm = Length.of_mm


class Workshop(Record):
    """One row. The defaults are the planner's own; what each is for stands beside its field on the page."""

    class Unit(models.TextChoices):
        MM = "mm", "millimetres"
        INCH = "in", "inches"

    class Words(models.TextChoices):
        PLANER = "planer", "planer and thicknesser, timber"
        JOINTER = "jointer", "jointer and planer, lumber"

    class Wood(models.TextChoices):
        AS_LENGTHS = "", "cubic decimetres with millimetres, board feet with inches"
        BOARD_FEET = BOARD_FEET.key, BOARD_FEET.words
        CUBIC_DECIMETRES = CUBIC_DECIMETRES.key, CUBIC_DECIMETRES.words

    class Asks(models.TextChoices):
        MARGIN = "margin", "a share of the price"
        MARKUP = "markup", "a share on top of the cost"
        PROFIT = "profit", "a sum of money"

    name = models.CharField(max_length=80, default="My workshop")
    unit = models.CharField(max_length=2, choices=Unit.choices, default=Unit.MM)
    wood_in = models.CharField(max_length=3, choices=Wood.choices, blank=True, default=Wood.AS_LENGTHS)
    words = models.CharField(max_length=10, choices=Words.choices, default=Words.JOINTER)
    currency_code = models.CharField(max_length=3, default="EUR")
    currency_symbol = models.CharField(max_length=4, default="€")
    currency_exponent = models.PositiveSmallIntegerField(default=2)

    crosscut_kerf = LengthField(default=_mm(3))
    rip_kerf = LengthField(default=_mm(3))
    longest_rip = LengthField(default=_mm(1200))
    shortest_machined = LengthField(default=_mm(305))
    narrowest_strip = LengthField(default=_mm(10))
    thinnest_planed = LengthField(default=_mm(6))
    grip = LengthField(default=_mm(100))

    glue_line = LengthField(default=_mm("0.1"))
    gauge_allowance = LengthField(default=_mm("0.5"))
    dressing = LengthField(default=_mm("0.2"))
    end_trim = LengthField(default=_mm(5))
    edge_trim = LengthField(default=_mm(3))
    flattening = LengthField(default=_mm(1))
    milling = LengthField(default=_mm(3))
    rough_end_trim = LengthField(default=_mm(25))
    rough_edge_trim = LengthField(default=_mm(6))
    spoil_rate = ShareField(default=Fraction(2, 100))
    spare_confidence = ShareField(default=Fraction(95, 100))
    least_carried = ShareField(default=Fraction(1, 4))

    check_trim = LengthField(default=_mm(25))
    snipe = LengthField(default=_mm(25))
    rough_step = LengthField(default=_mm(5))
    resaw = models.BooleanField(default=False)
    resaw_kerf = LengthField(default=_mm(2))
    tallest_resaw = LengthField(default=_mm(150))
    shortest_kept = LengthField(default=_mm(305))
    narrowest_kept = LengthField(default=_mm(30))
    offcut_share = ShareField(default=Fraction(1, 2))
    stand_off = LengthField(default=_mm(25))
    hold_down = LengthField(default=_mm(0))
    saw_scale = LengthField(default=_mm("0.5"))
    tallest_cut = LengthField(default=_mm(75))

    glue_g_per_m2 = models.DecimalField(max_digits=9, decimal_places=3, default=Decimal(200))
    glue_loss = ShareField(default=Fraction(1, 2))
    glue_per_kg = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(12))
    grits = models.PositiveSmallIntegerField(default=5)
    abrasive_m2_each = models.DecimalField(max_digits=9, decimal_places=4, default=Decimal("0.135"))
    abrasive_price_each = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal("0.60"))
    finish_coats = models.PositiveSmallIntegerField(default=2)
    finish_l_per_m2 = models.DecimalField(max_digits=9, decimal_places=4, default=Decimal("0.05"))
    finish_per_l = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(40))

    hour = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(20))
    overhead_hour = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal("3.50"))
    packaging = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal("4.50"))
    reserve = ShareField(default=Fraction(4, 100))
    # Minutes for each of the planner's operations, as exact text ("1/2"); an operation left out keeps its default.
    times = models.JSONField(default=dict)
    # For each of the planner's details minutes and the price of a piece of its hardware, as exact text under "minutes"
    # and "price"; what is left out keeps its default.
    details = models.JSONField(default=dict)

    margin = ShareField(default=Fraction(1, 5))
    tax = ShareField(default=Fraction(0))
    tax_included = models.BooleanField(default=True)
    carriage_paid = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    carriage_charged = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    # A price made to end so, on a grid of ten: 9 gives 189, 199; empty for the exact price.
    ending = models.DecimalField(max_digits=12, decimal_places=4, null=True)

    # What the maker asks of a sale unless a board asks another: a share of the price, a share on the cost, or money.
    asks = models.CharField(max_length=6, choices=Asks.choices, default=Asks.MARGIN)
    markup = ShareField(default=Fraction(1, 4))
    profit = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    friends = ShareField(default=Fraction(1, 5))

    # How the carrier bills: cubic centimetres that count as a kilogram, the step masses go up by, and rows of
    # [up to so many kg, price] as exact text; without rows carriage is the sum written above.
    carrier_divisor = models.PositiveIntegerField(default=5000)
    carrier_step = models.DecimalField(max_digits=7, decimal_places=3, default=Decimal("0.5"))
    carrier_tariff = models.JSONField(default=list)
    # What is around a board in its box on every side, and what box and stuffing weigh, in grams.
    packed_around = LengthField(default=_mm(40))
    packing_grams = models.PositiveIntegerField(default=500)

    # What stands on quotes and invoices.
    address = models.CharField(max_length=300, blank=True)
    mail = models.CharField(max_length=254, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    tax_number = models.CharField(max_length=40, blank=True)
    pay_to = models.CharField(max_length=300, blank=True)
    quote_terms = models.CharField(max_length=600, blank=True)
    quote_days = models.PositiveSmallIntegerField(default=30)
    deposit = ShareField(default=Fraction(1, 2))
    invoice_words = models.CharField(max_length=300, blank=True)
    # For how many years papers about money are kept before a person's name may leave them.
    keep_years = models.PositiveSmallIntegerField(default=10)

    # Who and what there is for gluing, beside the records of jigs and clamps.
    people = models.PositiveSmallIntegerField(default=1)
    bench_places = models.PositiveSmallIntegerField(default=1)
    row_clamps = models.PositiveSmallIntegerField(default=3)
    clamp_every = LengthField(default=_mm(150))
    widest_flattened = LengthField(default=_mm(300))
    # The most two pieces' meter readings may differ when they are glued to each other, in percent points.
    moisture_apart = models.DecimalField(max_digits=5, decimal_places=2, default=Decimal(2))

    # Days of waiting and minutes of hands before the first cut and after the last buffing.
    buying_days = models.PositiveSmallIntegerField(default=3)
    settling_days = models.PositiveSmallIntegerField(default=7)
    rest_days = models.PositiveSmallIntegerField(default=2)
    photographs = models.PositiveSmallIntegerField(default=20)
    packing = models.PositiveSmallIntegerField(default=20)
    carrier_days = models.PositiveSmallIntegerField(default=3)

    # Air of the shop and of the room a board will hang in; a moisture read directly, in percent, stands before both.
    shop_celsius = models.DecimalField(max_digits=5, decimal_places=2, default=Decimal(18))
    shop_humidity = models.DecimalField(max_digits=5, decimal_places=2, default=Decimal(50))
    shop_moisture = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    home_celsius = models.DecimalField(max_digits=5, decimal_places=2, default=Decimal(21))
    home_humidity = models.DecimalField(max_digits=5, decimal_places=2, default=Decimal(30))
    home_moisture = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    # The step in thickness at a seam, and the parting of two columns, from which on the maker is warned.
    most_step = LengthField(default=_mm("0.2"))
    most_parting = LengthField(default=_mm(1))

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_workshop")]

    def __str__(self) -> str:
        return self.name

    @property
    def counts_wood(self) -> WoodMeasure:
        """What pages say amounts of wood in."""
        return MEASURES[self.wood_in or (BOARD_FEET if self.unit == self.Unit.INCH else CUBIC_DECIMETRES).key]


class Fee(models.Model):
    """One fee of the channel the boards are sold through."""

    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="fees")
    place = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=40)
    percent = ShareField(default=Fraction(0))
    fixed = models.DecimalField(max_digits=12, decimal_places=4, default=Decimal(0))
    on_carriage = models.BooleanField(default=True)
    on_tax = models.BooleanField(default=False)
    minimum = models.DecimalField(max_digits=12, decimal_places=4, null=True)
    cap = models.DecimalField(max_digits=12, decimal_places=4, null=True)

    class Meta:
        ordering = ["place", "pk"]

    def __str__(self) -> str:
        return self.name
