"""What moisture wood comes to in air of some temperature and humidity.

Equation 4-5 of the Wood Handbook (FPL-GTR-282, p. 4-3), after Hailwood and Horrobin with two hydrates; Table 4-2 is
worked out from it. The handbook says of its digits that "this level of precision is not meaningful": woods differ,
and wood that dries holds a little more than wood that is wetted. Show whole or half percents.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.measures import round_half_up

HANDBOOK = "Wood Handbook, FPL-GTR-282, Eq. 4-5 and Table 4-2"

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


@dataclass(frozen=True, slots=True)
class Air:
    """Where wood lies long enough: the air, and what a meter ``read`` of wood there, in percent, which stands before
    what the air would give. None where nothing was read."""

    climate: Climate
    read: Fraction | None = None

    @property
    def moisture(self) -> Fraction:
        """Percent, to the tenth the table prints. Raises ClimateError.

        >>> cool = Climate(Fraction(18), Fraction(50))
        >>> Air(cool).moisture, Air(cool, read=Fraction(8)).moisture
        (Fraction(93, 10), Fraction(8, 1))
        """
        return Fraction(round_half_up(moisture_in(self.climate), 1)) if self.read is None else self.read

    def figure(self) -> Figure:
        """The moisture as a figure that opens to its air."""
        if self.read is not None:
            return Figure(self.read, "%", "as a meter read it, written in the settings", "the workshop's settings")
        return Figure(
            self.moisture,
            "%",
            "what wood comes to that lies in this air, to the tenth the table prints; single woods differ by more",
            HANDBOOK,
            (
                Term("Air", Figure(self.climate.celsius, "°C", "as set", "the workshop's settings")),
                Term("Humidity", Figure(self.climate.humidity, "%", "as set", "the workshop's settings")),
            ),
        )


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
