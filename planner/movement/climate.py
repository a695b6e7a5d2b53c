"""What moisture wood comes to in air of some temperature and humidity.

Equation 4-5 of the Wood Handbook (FPL-GTR-282, p. 4-3), after Hailwood and Horrobin with two hydrates; Table 4-2 is
worked out from it. The handbook says of its digits that "this level of precision is not meaningful": woods differ,
and wood that dries holds a little more than wood that is wetted. Show whole or half percents.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.errors import PlannerError

# The span of Table 4-2: 30 to 270 degrees Fahrenheit.
COLDEST, HOTTEST = Fraction(-10, 9), Fraction(1190, 9)
DRIEST, DAMPEST = Fraction(5), Fraction(95)


class ClimateError(PlannerError):
    """A climate outside what the published table covers."""


@dataclass(frozen=True, slots=True)
class Climate:
    """Air as wood lies in it: degrees Celsius, and relative humidity in percent."""

    celsius: Fraction
    humidity: Fraction


def moisture_in(climate: Climate) -> Fraction:
    """Percent of moisture content that wood comes to in that air if it lies there long enough.

    Valid where Table 4-2 is: -1.1 to 132.2 degrees Celsius, 5 to 95 % humidity. Raises ClimateError outside it, naming
    the field ``celsius`` or ``humidity``. Within 0.06 of every printed point that was compared.

    >>> float(round(moisture_in(Climate(Fraction("21.1"), Fraction(50))), 1))
    9.2
    """
    t, h = climate.celsius, climate.humidity / 100
    if not COLDEST <= t <= HOTTEST:
        raise ClimateError(
            f"{float(t):g} °C is outside the published table, -1.1 to 132.2 °C.",
            mend="Write the temperature of a room wood may lie in.",
            field="celsius",
        )
    if not DRIEST <= climate.humidity <= DAMPEST:
        raise ClimateError(
            f"A humidity of {float(climate.humidity):g} % is outside the published table, 5 to 95 %.",
            mend="Write what a hygrometer shows.",
            field="humidity",
        )
    w = 349 + Fraction("1.29") * t + Fraction("0.0135") * t**2
    k = Fraction("0.805") + Fraction("0.000736") * t - Fraction("0.00000273") * t**2
    k1 = Fraction("6.27") - Fraction("0.00938") * t - Fraction("0.000303") * t**2
    k2 = Fraction("1.91") + Fraction("0.0407") * t - Fraction("0.000293") * t**2
    kh = k * h
    once, twice = k1 * kh, k1 * k2 * kh**2
    return 1800 / w * (kh / (1 - kh) + (once + 2 * twice) / (1 + once + twice))
