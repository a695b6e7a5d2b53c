"""What a parcel is charged by, and what it costs to send: by its mass or by the room it takes, whichever is more.

A carrier counts a volume as a mass: length × width × height in centimetres over a divisor, of which 5000 and 6000
cubic centimetres a kilogram are common (carriers' help pages: 4000 to 6000, most 5000; second-hand). What is charged is
the larger of both, up to the carrier's next step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from planner.figures import Figure, Term
from planner.length import decimals
from planner.measures import ZERO, Length
from planner.pricing.sale import PricingError

TARIFF = "the carrier's tariff, as written in the workshop's settings"
_MM_PER_CM = 10


@dataclass(frozen=True, slots=True)
class Parcel:
    """Outside sizes, the longest first, and ``mass_kg`` with the packing."""

    long: Length
    wide: Length
    high: Length
    mass_kg: Fraction


@dataclass(frozen=True, slots=True)
class Carrier:
    """``divisor``: cubic centimetres counted as a kilogram; 0 where mass alone counts. ``step_kg``: charged in steps of
    so many kilograms; 0 for none. ``tariff``: up to so many kilograms, at what price; the lightest first.
    ``whole_cm``: every side is first rounded up to a whole centimetre, as some carriers do."""

    divisor: int
    step_kg: Fraction
    tariff: tuple[tuple[Fraction, Decimal], ...]
    whole_cm: bool = False


@dataclass(frozen=True, slots=True)
class Packing:
    """``padding`` on every side, carton included, and what all of it weighs. Both are assumptions from memory: 5 cm
    about a board that may be dropped, and a double-walled carton with its filling."""

    padding: Length = Length.of_mm(50)
    mass_kg: Fraction = Fraction(7, 10)


def parcel_of(
    finished: Sequence[Length], mass_kg: Fraction | None, packing: Packing | None = None, *, boards: int = 1
) -> Parcel:
    """A parcel of ``boards`` lying on one another, each of three ``finished`` sizes and ``mass_kg``.

    ``mass_kg`` is None where the woods' density is not known (``planner.woods.weighing``): PricingError, the board
    must be weighed.

    >>> sizes = Length.of_mm(400), Length.of_mm(350), Length.of_mm(20)
    >>> parcel = parcel_of(sizes, Fraction("2.5"))
    >>> parcel.long, parcel.wide, parcel.high, parcel.mass_kg
    (Length('500 mm'), Length('450 mm'), Length('120 mm'), Fraction(16, 5))
    """
    packing = Packing() if packing is None else packing
    if mass_kg is None:
        raise PricingError("What the board weighs is not known.", mend="Weigh it and write its mass.", field="mass")
    if len(finished) != 3:
        raise PricingError("A parcel has three sizes.", mend="Write length, width and thickness.", field="sizes")
    if boards < 1:
        raise PricingError("Nothing is in the parcel.", mend="Write how many boards it holds.", field="boards")
    if packing.padding < ZERO or packing.mass_kg < 0:
        raise PricingError("The packing is less than nought.", mend="Write nought or more.", field="packing")
    thin, *rest = sorted(finished)
    low, mid, top = sorted([thin * boards + packing.padding * 2, *(side + packing.padding * 2 for side in rest)])
    return _looked_over(Parcel(top, mid, low, mass_kg * boards + packing.mass_kg))


def billed_mass(parcel: Parcel, carrier: Carrier) -> Figure:
    """The mass a parcel is charged by, in kilograms: the larger of its own and that of its room, up to the step.

    Raises PricingError, naming the field.

    >>> parcel = Parcel(Length.of_mm(500), Length.of_mm(450), Length.of_mm(120), Fraction("3.2"))
    >>> [float(billed_mass(parcel, Carrier(by, Fraction(1, 2), ())).value) for by in (5000, 6000)]
    [5.5, 4.5]
    """
    _looked_over(parcel)
    _check(carrier)
    terms = [Term("Mass", Figure(parcel.mass_kg, "kg", "the boards and their packing"))]
    most = parcel.mass_kg
    if carrier.divisor:
        by_room = _by_room(parcel, carrier)
        terms.append(Term("Mass by its room", by_room))
        assert isinstance(by_room.value, Fraction)
        most = max(most, by_room.value)
    if not carrier.step_kg:
        return Figure(most, "kg", "the larger of both" if carrier.divisor else "its mass", TARIFF, tuple(terms))
    terms.append(Term("Step", Figure(carrier.step_kg, "kg", "as the carrier charges", TARIFF)))
    what = "the larger of both" if carrier.divisor else "its mass"
    stepped = ceil(most / carrier.step_kg) * carrier.step_kg
    return Figure(stepped, "kg", f"{what}, up to the carrier's next step", TARIFF, tuple(terms))


def carriage_of(parcel: Parcel, carrier: Carrier) -> Figure:
    """What the carrier asks for the parcel: the price of the first line of the tariff that goes so far.

    Raises PricingError where the parcel is heavier than the tariff goes, or there is none.
    """
    billed = billed_mass(parcel, carrier)
    if not carrier.tariff:
        raise PricingError(
            "The carrier has no tariff yet.", mend="Write up to how many kilograms costs how much.", field="tariff"
        )
    assert isinstance(billed.value, Fraction)
    for up_to, price in carrier.tariff:
        if billed.value <= up_to:
            rule = f"the tariff up to {decimals(up_to, 3)} kg"
            return Figure(price, "money", rule, TARIFF, (Term("Charged by", billed),))
    raise PricingError(
        f"The parcel is charged as {decimals(billed.value, 3)} kg, and the tariff ends at "
        f"{decimals(carrier.tariff[-1][0], 3)} kg.",
        mend="Write a line of the tariff that goes further, pack it smaller, or send it another way.",
        field="tariff",
    )


def _by_room(parcel: Parcel, carrier: Carrier) -> Figure:
    """The volume as a mass."""
    sides = [side.mm / _MM_PER_CM for side in (parcel.long, parcel.wide, parcel.high)]
    if carrier.whole_cm:
        sides = [Fraction(ceil(side)) for side in sides]
    long, wide, high = sides
    up = ", each up to a whole centimetre" if carrier.whole_cm else ""
    return Figure(
        long * wide * high / carrier.divisor,
        "kg",
        f"length × width × height in centimetres{up} ÷ {carrier.divisor}",
        TARIFF,
        (
            Term("Length", Figure(parcel.long, "mm", "outside")),
            Term("Width", Figure(parcel.wide, "mm", "outside")),
            Term("Height", Figure(parcel.high, "mm", "outside")),
        ),
    )


def _looked_over(parcel: Parcel) -> Parcel:
    if min(parcel.long, parcel.wide, parcel.high) <= ZERO:
        raise PricingError("A parcel has a length, a width and a height.", mend="Write all three.", field="sizes")
    if parcel.mass_kg <= 0:
        raise PricingError("A parcel weighs something.", mend="Write its mass.", field="mass")
    return parcel


def _check(carrier: Carrier) -> None:
    if carrier.divisor < 0:
        raise PricingError("The divisor is less than nought.", mend="Write 5000, or nought for none.", field="divisor")
    if carrier.step_kg < 0:
        raise PricingError("The step is less than nought.", mend="Write 0.5, or nought for none.", field="step_kg")
    masses = [up_to for up_to, _ in carrier.tariff]
    if any(up_to <= 0 for up_to in masses) or masses != sorted(set(masses)):
        raise PricingError(
            "The tariff's lines do not go from the lightest to the heaviest.",
            mend="Write each mass once, the smallest first.",
            field="tariff",
        )
    if any(price < 0 for _, price in carrier.tariff):
        raise PricingError("A price of the tariff is less than nought.", mend="Write nought or more.", field="tariff")
