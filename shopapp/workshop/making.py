"""The settings timetables and movement go by: people and places, the days around the work, and the air wood lies in."""

from __future__ import annotations

from fractions import Fraction

from shopapp.common.fields import CountFormField, DecimalFormField, LengthFormField

from .forms import COMMON, SectionForm
from .gluing.fields import DaysFormField, MinuteCountFormField
from .models import Workshop
from .planning import air_figures

MOST_DAYS = 400


class PlacesForm(SectionForm):
    people = CountFormField(
        label="People timetables reckon with",
        least=1,
        most=20,
        help_text="Hours in which fewer are there are left out, so write 1 where some evenings are one person's.",
    )
    bench_places = CountFormField(
        label="Glue-ups the bench holds at once",
        least=1,
        most=50,
        help_text="Places where something clamped can lie and nothing else has to stand.",
    )
    row_clamps = CountFormField(
        label="Clamps a row takes in its jig", least=1, most=100, help_text="Three is common practice, no source."
    )
    clamp_every = LengthFormField(
        label="Along a joint, a clamp every",
        help_text="At the most. Stiff cauls let them stand wider. " + COMMON,
    )
    widest_flattened = LengthFormField(
        label="Widest blank flattened in one piece",
        help_text="Through your planer or drum, or on your router sled; see the machine's manual. What is wider is "
        "made in halves that are joined last.",
    )
    moisture_apart = DecimalFormField(
        places=2,
        least=Fraction(1, 10),
        most=10,
        label="Pieces glued together differ at most",
        suffix="points",
        help_text="Of moisture, by the meter: 8 % against 10 % is 2 points. More, and the joint is pulled at as they "
        "come to one moisture. 2 is usual, from memory.",
    )


class AroundForm(SectionForm):
    buying_days = DaysFormField(
        label="Buying the wood takes", most=MOST_DAYS, help_text="From asking the yard until it is in the shop."
    )
    settling_days = DaysFormField(
        label="It settles in the shop for",
        most=MOST_DAYS,
        help_text="Stickered, until the meter reads no change. A week or more; longer for thick stock. " + COMMON,
    )
    rest_days = DaysFormField(
        label="It rests after rough milling for",
        most=MOST_DAYS,
        help_text="So that what moves, moves before the final milling. " + COMMON,
    )
    photographs = MinuteCountFormField(label="Photographs take", most=1440, help_text="For each board. An assumption.")
    packing = MinuteCountFormField(label="Packing takes", most=1440, help_text="For each board. An assumption.")
    carrier_days = DaysFormField(
        label="The carrier needs", most=MOST_DAYS, help_text="Whole days until it is there; 0 where it is fetched."
    )


class ClimateForm(SectionForm):
    """``figures`` are what wood comes to by what stands or was typed."""

    shop_celsius = DecimalFormField(
        places=2, most=60, label="Temperature of the shop", suffix="°C", help_text="Where wood is kept and glued up."
    )
    shop_humidity = DecimalFormField(
        places=2, least=5, most=95, label="Its relative humidity", suffix="%", help_text="As a hygrometer shows it."
    )
    shop_moisture = DecimalFormField(
        places=2,
        least=1,
        most=30,
        label="Or the wood's moisture, by the meter",
        suffix="%",
        required=False,
        help_text="Read in wood that has lain in the shop for weeks; it goes before the two above.",
    )
    home_celsius = DecimalFormField(
        places=2,
        most=60,
        label="Temperature where the board will be",
        suffix="°C",
        help_text="A living room: 20 to 22.",
    )
    home_humidity = DecimalFormField(
        places=2,
        least=5,
        most=95,
        label="Relative humidity there",
        suffix="%",
        help_text="In the season that is furthest from your shop. Heated rooms: 10 to 25 in a Swedish winter and 45 to "
        "60 in summer (TraGuiden, as quoted); 30 to 50 is advised for floors (NWFA, as quoted).",
    )
    home_moisture = DecimalFormField(
        places=2,
        least=1,
        most=30,
        label="Or the wood's moisture there",
        suffix="%",
        required=False,
        help_text="Read in a piece that has been there for a season; it goes before the two above.",
    )
    most_step = LengthFormField(
        label="Warn of a step at a seam from",
        help_text="Two woods that change unlike in thickness. A fingertip feels a tenth of a millimetre (from memory).",
    )
    most_parting = LengthFormField(
        label="Warn where neighbouring columns part from",
        help_text="What they would differ by if the glue did not hold them. An assumption: set it by boards that "
        "have cracked or held.",
    )

    def figures(self) -> list[tuple[str, dict]]:
        values = self.cleaned_data if self.is_bound and self.is_valid() else self.initial
        air = ("shop_celsius", "shop_humidity", "shop_moisture", "home_celsius", "home_humidity", "home_moisture")
        return air_figures(Workshop(**{name: values[name] for name in air}))
