"""The workshop's one door to the planner: its rows as the planner's frozen arguments."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction

from planner.hours import DEFAULT_TIMES, OPERATIONS
from planner.pricing import Fee as PlannerFee
from planner.pricing import Rates, Terms
from planner.shop import Shop

from .models import Workshop

__all__ = ["DEFAULT_TIMES", "OPERATIONS", "rates_of", "shop_of", "terms_of", "times_of"]


def shop_of(workshop: Workshop) -> Shop:
    return Shop(**{field.name: getattr(workshop, field.name) for field in fields(Shop)})


def times_of(workshop: Workshop) -> Mapping[str, Fraction]:
    """Minutes for each operation: the maker's where written, else the default."""
    return {key: Fraction(workshop.times.get(key, default)) for key, default in DEFAULT_TIMES.items()}


def rates_of(workshop: Workshop) -> Rates:
    w = workshop
    return Rates(
        hour=w.hour,
        overhead_hour=w.overhead_hour,
        glue_g_per_m2=Fraction(w.glue_g_per_m2),
        glue_loss=w.glue_loss,
        glue_per_kg=w.glue_per_kg,
        grits=w.grits,
        abrasive_m2_each=Fraction(w.abrasive_m2_each),
        abrasive_price_each=w.abrasive_price_each,
        finish_coats=w.finish_coats,
        finish_l_per_m2=Fraction(w.finish_l_per_m2),
        finish_per_l=w.finish_per_l,
        packaging=w.packaging,
        reserve=w.reserve,
        exponent=w.currency_exponent,
    )


def terms_of(workshop: Workshop, margin: Fraction | None = None) -> Terms:
    """How the workshop sells, at ``margin`` or else its usual one.

    A fee rests on the net price unless it says otherwise.
    """
    fees = (
        tuple(PlannerFee(fee.percent, fee.fixed, fee.on_carriage, fee.on_tax, fee.name) for fee in workshop.fees.all())
        if workshop.edit_version
        else ()
    )
    return Terms(
        fees=fees,
        tax=workshop.tax,
        tax_included=workshop.tax_included,
        margin=workshop.margin if margin is None else margin,
        profit=Decimal(0),
        carriage_paid=workshop.carriage_paid,
        carriage_charged=workshop.carriage_charged,
        exponent=workshop.currency_exponent,
        ending=workshop.ending,
    )
