"""Moisture of wood in air, against the points of Table 4-2 of the Wood Handbook that were found printed."""

from fractions import Fraction

import pytest

from planner.movement import Climate, moisture_in
from planner.movement.climate import ClimateError

# FPL-GTR-282 p. 4-4, Table 4-2 (public domain): degrees, percent of humidity, percent of moisture; to one decimal, so
# that an equation may be off by half of it, and by a little more where the table was rounded from other digits.
TOLERANCE = 0.06
CELSIUS = """21.1/5 1.3; 21.1/30 6.2; 21.1/50 9.2; 21.1/75 14.4; 21.1/85 17.9; 21.1/95 23.9; -1.1/75 14.9; -1.1/95 24.3;
37.8/50 8.7; 37.8/90 19.5"""
FAHRENHEIT = """70/20 4.5; 70/30 6.2; 70/40 7.7; 70/50 9.2; 70/60 11.0; 70/65 12.0; 70/70 13.1; 70/80 16.0; 70/90 20.5;
30/30 6.3; 50/50 9.5; 80/65 11.7; 100/80 15.1; 140/50 7.7; 180/65 8.6"""


def points(text):
    for point in text.split(";"):
        air, printed = point.split()
        yield (*(Fraction(n) for n in air.split("/")), float(printed))


@pytest.mark.parametrize(("celsius", "humidity", "printed"), list(points(CELSIUS)))
def test_the_printed_moisture_in_celsius(celsius, humidity, printed):
    assert float(moisture_in(Climate(celsius, humidity))) == pytest.approx(printed, abs=TOLERANCE)


@pytest.mark.parametrize(("fahrenheit", "humidity", "printed"), list(points(FAHRENHEIT)))
def test_the_printed_moisture_in_fahrenheit(fahrenheit, humidity, printed):
    celsius = (fahrenheit - 32) * Fraction(5, 9)
    assert float(moisture_in(Climate(celsius, humidity))) == pytest.approx(printed, abs=TOLERANCE)


def test_damper_air_gives_damper_wood_and_warmer_air_dries_it():
    wet = [moisture_in(Climate(Fraction(20), Fraction(h))) for h in range(5, 96)]
    warm = [moisture_in(Climate(Fraction(t), Fraction(65))) for t in range(5, 60)]
    assert wet == sorted(wet)
    assert warm == sorted(warm, reverse=True)


@pytest.mark.parametrize(
    ("celsius", "humidity", "field"), [(20, 0, "humidity"), (20, 100, "humidity"), (-20, 50, "celsius")]
)
def test_air_outside_the_table_is_refused_in_words(celsius, humidity, field):
    with pytest.raises(ClimateError) as refused:
        moisture_in(Climate(Fraction(celsius), Fraction(humidity)))
    assert refused.value.field == field
    assert "table" in str(refused.value)
