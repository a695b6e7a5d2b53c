"""The workshop's one door to the planner: its rows as the planner's frozen arguments."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction
from typing import Any

from planner.build import DETAILS
from planner.figures import Figure, Term
from planner.gluing.materials import Adhesive, Around, Clamps, Finish, GlueShop, RowJigs
from planner.hours import OPERATIONS
from planner.movement import Air, Climate, Surroundings
from planner.pricing import Carrier, NoPrice, Packing, Rates, Target, Terms, price_for, share_left
from planner.pricing import Fee as PlannerFee
from planner.pricing import margin_of_markup as margin_of
from planner.pricing import markup_of_margin as markup_of
from planner.shop import Shop

from . import models, readers
from .models import Workshop

__all__ = [
    "DETAILS",
    "OPERATIONS",
    "NoPrice",
    "Terms",
    "adhesive_of",
    "air_figures",
    "around_of",
    "carrier_of",
    "fee_of",
    "finish_of",
    "glue_shop_of",
    "home_climate",
    "margin_of",
    "markup_of",
    "packing_of",
    "price_for",
    "rates_of",
    "share_left",
    "shop_climate",
    "shop_of",
    "surroundings_of",
    "target_of",
    "terms_of",
    "usual_target",
]


def shop_of(workshop: Workshop) -> Shop:
    plain = {field.name: getattr(workshop, field.name) for field in fields(Shop) if field.name != "details"}
    return Shop(**plain, details=_details_of(workshop.details))


def _details_of(written: dict[str, dict[str, str]]) -> tuple[tuple[str, Fraction, Decimal], ...]:
    """Details of which the maker wrote minutes or a price, in the order they are offered."""
    return tuple(
        (
            key,
            Fraction(written[key].get("minutes", kind.minutes)),
            Decimal(written[key].get("price", kind.price)),
        )
        for key, kind in DETAILS.items()
        if key in written
    )


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
    fees = tuple(fee_of(vars(fee)) for fee in workshop.fees.all()) if workshop.edit_version else ()
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


def fee_of(row: Mapping[str, Any]) -> PlannerFee:
    """A fee by the names of its columns."""
    names = ("percent", "fixed", "on_carriage", "on_tax", "name", "minimum", "cap")
    return PlannerFee(**{name: row[name] for name in names})


def target_of(asks: str, amount: Fraction) -> Target:
    """What is wanted of a price: a share for "margin" and "markup", money for "profit"."""
    return Target(asks, Fraction(amount))


def usual_target(workshop: Workshop) -> Target:
    """What the maker asks unless a board asks another: its amount stands in the field of that name."""
    return target_of(workshop.asks, Fraction(getattr(workshop, workshop.asks)))


def carrier_of(workshop: Workshop) -> Carrier | None:
    """None while no tariff is written, and carriage is a sum."""
    if not workshop.carrier_tariff:
        return None
    rows = tuple((Fraction(up_to), Decimal(price)) for up_to, price in workshop.carrier_tariff)
    return Carrier(workshop.carrier_divisor, Fraction(workshop.carrier_step), rows)


def packing_of(workshop: Workshop) -> Packing:
    return Packing(workshop.packed_around, Fraction(workshop.packing_grams, 1000))


def glue_shop_of(workshop: Workshop) -> GlueShop:
    """Who and what there is for gluing; two queries, for jigs and clamps."""
    w = workshop
    return GlueShop(
        people=w.people,
        jigs=tuple(RowJigs(row.name, row.count, row.longest) for row in readers.row_jigs()),
        clamps=tuple(Clamps(row.name, row.count, row.reach) for row in readers.clamps()),
        bench_places=w.bench_places,
        row_clamps=w.row_clamps,
        clamp_every=w.clamp_every,
        widest_flattened=w.widest_flattened,
    )


def adhesive_of(row: models.Adhesive) -> Adhesive:
    lowest = None if row.lowest_celsius is None else Fraction(row.lowest_celsius)
    return Adhesive(row.name, row.open, row.assembly, row.clamped, row.machining, row.sanding, lowest)


def finish_of(row: models.Finish) -> Finish:
    return Finish(**{field.name: getattr(row, field.name) for field in fields(Finish)})


def around_of(workshop: Workshop, *, in_hand: bool = False) -> Around:
    """``in_hand``: the wood is here and settled."""
    w = workshop
    return Around(
        in_hand=in_hand,
        buying_days=w.buying_days,
        settling_days=w.settling_days,
        rest_days=w.rest_days,
        photographs=w.photographs,
        packing=w.packing,
        carrier_days=w.carrier_days,
    )


def shop_climate(workshop: Workshop) -> Air:
    return _air(workshop.shop_celsius, workshop.shop_humidity, workshop.shop_moisture)


def home_climate(workshop: Workshop) -> Air:
    return _air(workshop.home_celsius, workshop.home_humidity, workshop.home_moisture)


def _air(celsius: Decimal, humidity: Decimal, read: Decimal | None) -> Air:
    """A moisture read in the room stands before what its air would give."""
    return Air(Climate(Fraction(celsius), Fraction(humidity)), None if read is None else Fraction(read))


def surroundings_of(workshop: Workshop) -> Surroundings:
    """Between which airs a board moves, and what the maker lets it."""
    w = workshop
    return Surroundings(
        shop=shop_climate(w),
        home=home_climate(w),
        most_parting=w.most_parting,
        most_step=w.most_step,
        apart=Fraction(w.moisture_apart),
    )


def air_figures(workshop: Workshop) -> list[tuple[str, dict]]:
    """The moisture wood comes to in the shop and at home, and the points between them: label and figure's record.
    Raises ClimateError for an air outside the published table."""
    shop, home = shop_climate(workshop), home_climate(workshop)
    there, away = shop.figure(), home.figure()
    gives = "gives off" if home.moisture < shop.moisture else "takes up"
    between = Figure(
        abs(home.moisture - shop.moisture),
        "points",
        f"the one less the other: wood {gives} so many percent points on its way, and moves by it across its grain",
        terms=(Term("in the shop", there), Term("where the board will be", away)),
    )
    return [
        ("Wood in the shop comes to", there.as_record()),
        ("Where the board will be", away.as_record()),
        ("Between the two", between.as_record()),
    ]
