"""A parcel is charged by its mass or by the room it takes, whichever is more, and costs what the tariff says."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.measures import Length
from planner.pricing import Carrier, Packing, Parcel, PricingError, billed_mass, carriage_of, parcel_of

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-selling.json").read_text())["parcel"]
HALF_KILO = Fraction(WORKED["step_kg"])
TARIFF = ((Fraction(2), Decimal("6.50")), (Fraction(5), Decimal("9.00")), (Fraction(10), Decimal("14.00")))
DM = Length.of_mm(100)


def cm(text):
    return Length.of_mm(Fraction(text) * 10)


def worked(kg=WORKED["kg"]):
    return Parcel(cm(WORKED["long_cm"]), cm(WORKED["wide_cm"]), cm(WORKED["high_cm"]), Fraction(kg))


def terms_of(figure):
    return {term.name: term.figure.value for term in figure.terms}


@pytest.mark.parametrize(("divisor", "charged"), [(5000, "charged_at_5000"), (6000, "charged_at_6000")])
def test_a_large_light_parcel_is_charged_by_its_room_up_to_the_step(divisor, charged):
    billed = billed_mass(worked(), Carrier(divisor, HALF_KILO, TARIFF))
    assert billed.value == Fraction(WORKED[charged])


def test_the_sum_behind_it_names_its_mass_and_its_room():
    told = terms_of(billed_mass(worked(), Carrier(5000, HALF_KILO, TARIFF)))
    assert (told["Mass"], told["Mass by its room"]) == (Fraction(WORKED["kg"]), Fraction(WORKED["by_room_at_5000"]))


def test_a_small_heavy_parcel_is_charged_by_its_mass():
    # By hand: 27,000 cubic centimetres are 5.4 kg, it weighs 7.1, and the next step is 7.5.
    assert billed_mass(worked("7.1"), Carrier(5000, HALF_KILO, TARIFF)).value == Fraction("7.5")


def test_a_mass_that_is_on_a_step_stays_there():
    assert billed_mass(worked("6"), Carrier(5000, HALF_KILO, TARIFF)).value == 6


def test_a_carrier_may_go_by_mass_alone_or_without_steps():
    assert billed_mass(worked(), Carrier(0, HALF_KILO, TARIFF)).value == Fraction("3.5")
    assert billed_mass(worked(), Carrier(5000, Fraction(0), TARIFF)).value == Fraction("5.4")


def test_sides_may_be_rounded_up_to_whole_centimetres_first():
    # By hand: 401 × 301 × 101 mm are 41 × 31 × 11 cm, 13,981 cubic centimetres, 2.7962 kg instead of 2.4382.
    parcel = Parcel(Length.of_mm(401), Length.of_mm(301), Length.of_mm(101), Fraction(1))
    assert billed_mass(parcel, Carrier(5000, Fraction(0), TARIFF, whole_cm=True)).value == Fraction("2.7962")
    assert billed_mass(parcel, Carrier(5000, Fraction(0), TARIFF)).value == Fraction("12190.801") / 5000


def test_it_costs_what_the_first_line_that_goes_so_far_asks():
    carrier = Carrier(5000, HALF_KILO, TARIFF)
    assert carriage_of(worked(), carrier).value == Decimal("14.00")
    small = Parcel(DM * 3, DM * 3, DM, Fraction(2))
    assert carriage_of(small, carrier).value == Decimal("6.50")
    assert carriage_of(Parcel(DM * 3, DM * 3, DM, Fraction("2.01")), carrier).value == Decimal("9.00")


def test_a_parcel_heavier_than_the_tariff_goes_is_refused_with_both_masses():
    with pytest.raises(PricingError, match=r"charged as 10\.5 kg, and the tariff ends at 10 kg") as refused:
        carriage_of(worked("10.2"), Carrier(5000, HALF_KILO, TARIFF))
    assert refused.value.field == "tariff" and refused.value.mend


def test_without_a_tariff_there_is_no_price():
    with pytest.raises(PricingError) as refused:
        carriage_of(worked(), Carrier(5000, HALF_KILO, ()))
    assert refused.value.field == "tariff"


@pytest.mark.parametrize(
    ("carrier", "field"),
    [
        (Carrier(-1, HALF_KILO, TARIFF), "divisor"),
        (Carrier(5000, Fraction(-1), TARIFF), "step_kg"),
        (Carrier(5000, HALF_KILO, TARIFF[::-1]), "tariff"),
        (Carrier(5000, HALF_KILO, (TARIFF[0], TARIFF[0])), "tariff"),
        (Carrier(5000, HALF_KILO, ((Fraction(0), Decimal(1)),)), "tariff"),
        (Carrier(5000, HALF_KILO, ((Fraction(2), Decimal(-1)),)), "tariff"),
    ],
)
def test_what_no_carrier_writes_is_named(carrier, field):
    with pytest.raises(PricingError) as refused:
        billed_mass(worked(), carrier)
    assert refused.value.field == field


def test_boards_lie_on_one_another_with_padding_on_every_side():
    # By hand: 400 × 350 × 20 mm, two of them, 30 mm all round: 460 × 410 × 100; 2 × 1.5 kg and 0.4 of packing.
    packing = Packing(Length.of_mm(30), Fraction("0.4"))
    sizes = [Length.of_mm(20), Length.of_mm(400), Length.of_mm(350)]
    parcel = parcel_of(sizes, Fraction("1.5"), packing, boards=2)
    assert [side.mm for side in (parcel.long, parcel.wide, parcel.high)] == [460, 410, 100]
    assert parcel.mass_kg == Fraction("3.4")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"mass_kg": None}, "mass"),
        ({"finished": [DM, DM]}, "sizes"),
        ({"boards": 0}, "boards"),
        ({"packing": Packing(DM * -1)}, "packing"),
        ({"packing": Packing(DM * 0), "finished": [DM, DM, DM * 0]}, "sizes"),
        ({"mass_kg": Fraction(0), "packing": Packing(DM, Fraction(0))}, "mass"),
    ],
)
def test_no_parcel_is_made_of_what_is_not_known(changes, field):
    asked = {"finished": [DM * 4, DM * 3, DM], "mass_kg": Fraction(2)} | changes
    with pytest.raises(PricingError) as refused:
        parcel_of(**asked)
    assert refused.value.field == field and refused.value.mend


sides = st.integers(1, 2000).map(Length.of_mm)
masses = st.integers(1, 60_000).map(lambda grams: Fraction(grams, 1000))


@settings(deadline=None)
@given(st.builds(Parcel, sides, sides, sides, masses), st.sampled_from([0, 4000, 5000, 6000]),
       st.sampled_from(["0.1", "0.5", "1"]).map(Fraction))  # fmt: skip
def test_never_less_is_charged_than_it_weighs_nor_a_whole_step_more_than_the_larger_of_both(parcel, divisor, step):
    billed = billed_mass(parcel, Carrier(divisor, step, ())).value
    room = parcel.long.mm * parcel.wide.mm * parcel.high.mm / 1000 / divisor if divisor else 0
    assert max(parcel.mass_kg, room) <= billed < max(parcel.mass_kg, room) + step
    assert (billed / step).denominator == 1
