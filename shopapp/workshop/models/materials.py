"""Adhesives, finishes, clamps and row jigs: the maker's own records. None is deleted, for a kept timetable may have
gone by it; what is not used any more is set aside."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import F, Q

from planner.measures import Length
from shopapp.common.fields import LengthField
from shopapp.common.models import Record

_mm = Length.of_mm


class Material(Record):
    """``name`` tells the maker's records apart; ``kept`` is false once one is set aside. ``source`` names the data
    sheet or the measuring the values come from, ``source_on`` its day; empty while they are assumptions.

    Where no record of a kind is kept the app reckons with a starting one, unsaved, that has no source either."""

    name = models.CharField(max_length=80, unique=True)
    kept = models.BooleanField(default=True)
    source = models.CharField(max_length=160, blank=True)
    source_on = models.DateField(null=True)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name

    @property
    def choice(self) -> str:
        """How a form names it among others of its kind."""
        return str(self.pk) if self.pk else "assumed"

    @property
    def is_assumed(self) -> bool:
        return not self.source


class Adhesive(Material):
    """Minutes as the data sheet has them: ``open`` from spreading to closing, ``assembly`` from the first spread to
    full pressure, ``clamped`` under pressure, then until a joint may be machined or sanded. The defaults are a
    water-borne white glue's as they are usually published (from memory), and a day before machining, so that the glue
    line does not sink."""

    open = models.PositiveIntegerField(default=5)
    assembly = models.PositiveIntegerField(default=15)
    clamped = models.PositiveIntegerField(default=30)
    machining = models.PositiveIntegerField(default=24 * 60)
    sanding = models.PositiveIntegerField(default=24 * 60)
    lowest_celsius = models.DecimalField(max_digits=4, decimal_places=1, null=True)

    class Meta:
        ordering = ["-kept", "name"]
        constraints = [
            models.CheckConstraint(condition=Q(assembly__gte=F("open")), name="open_time_within_assembly"),
            models.CheckConstraint(condition=Q(open__gte=1, clamped__gte=1), name="glue_takes_time"),
        ]


class Finish(Material):
    """Minutes as the data sheet has them; ``cure`` is empty for what never cures. The defaults are a drying oil's: an
    hour's soak, then buffed, is common practice without a source; the rest is from memory."""

    raisings = models.PositiveSmallIntegerField(default=1)
    raised_dries = models.PositiveIntegerField(default=120)
    coats = models.PositiveSmallIntegerField(default=2)
    soak = models.PositiveIntegerField(default=60)
    wipe_within = models.PositiveIntegerField(default=90)
    recoat = models.PositiveIntegerField(default=24 * 60)
    cure = models.PositiveIntegerField(null=True, default=3 * 24 * 60)
    drying = models.BooleanField(default=True)

    class Meta:
        ordering = ["-kept", "name"]
        verbose_name_plural = "finishes"
        constraints = [
            models.CheckConstraint(condition=Q(wipe_within__gte=F("soak")), name="wiped_after_it_soaked"),
        ]


class ClampKind(Material):
    """So many clamps alike that open to ``reach``."""

    count = models.PositiveSmallIntegerField(default=10)
    reach = LengthField(default=_mm(900))

    class Meta:
        ordering = ["-kept", "reach", "name"]
        constraints = [models.CheckConstraint(condition=Q(count__gte=1, reach__gt=0), name="a_clamp_is_there")]


class RowJig(Material):
    """So many jigs alike that take a row up to ``longest``."""

    count = models.PositiveSmallIntegerField(default=1)
    longest = LengthField(default=_mm(600))

    class Meta:
        ordering = ["-kept", "longest", "name"]
        constraints = [models.CheckConstraint(condition=Q(count__gte=1, longest__gt=0), name="a_jig_is_there")]


def starting_adhesives() -> list[Adhesive]:
    return [Adhesive(name="White wood glue (PVA), as an assumption", lowest_celsius=Decimal(10))]


def starting_finishes() -> list[Finish]:
    return [Finish(name="Drying oil, as an assumption")]


def starting_clamps() -> list[ClampKind]:
    return [
        ClampKind(name="Short clamps, as an assumption", count=12, reach=_mm(300)),
        ClampKind(name="Long clamps, as an assumption", count=10, reach=_mm(900)),
    ]


def starting_jigs() -> list[RowJig]:
    return [RowJig(name="Row jig, as an assumption")]
