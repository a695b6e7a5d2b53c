"""The settings a cut plan goes by: what boards and rough lengths lose, resawing, and which offcuts are kept."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from django import forms

from shopapp.common.fields import LengthFormField, PercentFormField

from .forms import COMMON, SectionForm


class CuttingForm(SectionForm):
    check_trim = LengthFormField(
        label="Off each end of a bought board",
        allow_zero=True,
        help_text="Where it has checked in drying: 25 to 75 mm (1 to 3 in) is usual, from memory. Look at each end.",
    )
    snipe = LengthFormField(
        label="Off each end of a rough length, once planed",
        allow_zero=True,
        help_text="The dip a planer leaves. Measure it on yours; 25 to 75 mm from memory. 0 where it leaves none.",
    )
    rough_step = LengthFormField(
        label="Rough lengths are measured in steps of",
        help_text="So that a tape finds them: 5 mm or 1/4 in. Finer steps save little and take longer to plan. "
        + COMMON,
    )
    resaw = forms.BooleanField(
        label="Thick boards may be resawn",
        required=False,
        help_text="Into two layers, where two are wanted. A plan asks for it only when you tick it there too.",
    )
    resaw_kerf = LengthFormField(
        label="Resawing takes",
        help_text="The band saw's kerf, about 1 mm, and what the blade wanders; both from memory. Measure a test cut.",
    )
    tallest_resaw = LengthFormField(
        label="Widest board you resaw",
        help_text="What stands upright under the guide; see the saw's manual.",
    )
    shortest_kept = LengthFormField(
        label="Shortest offcut kept",
        help_text="What is shorter than the machines may be fed can only be kept for other things. " + COMMON,
    )
    narrowest_kept = LengthFormField(
        label="Narrowest offcut kept",
        help_text="Of what is left beside the strips. A strip's end is kept by its length alone. " + COMMON,
    )
    offcut_share = PercentFormField(
        label="An offcut is credited",
        least=0,
        most=90,
        help_text="Of what its area cost. 0 if it would only lie there; much over half buys boards to make offcuts of. "
        "An assumption.",
    )

    def clean(self) -> dict:
        data = super().clean()
        snipe, step, shop = data.get("snipe"), data.get("rough_step"), self.workshop
        if snipe and snipe * 2 >= shop.shortest_machined:
            self.add_error(
                "snipe",
                f"Both ends take {self.says(snipe * 2)}, all of the shortest length machined, "
                f"{self.says(shop.shortest_machined)}. Write less, or machine longer lengths.",
            )
        elif snipe and (lost := snipe + shop.crosscut_kerf + max(shop.grip, snipe)) >= shop.longest_rip:
            self.add_error(
                "snipe",
                f"With the cut that takes it off and the grip at the other end {self.says(lost)} are lost, all of the "
                f"longest rough length, {self.says(shop.longest_rip)}. Write less, or rip longer lengths.",
            )
        if step and step * Fraction(ceil(shop.shortest_machined / step)) > shop.longest_rip:
            self.add_error(
                "rough_step",
                f"No step of {self.says(step)} lies between the shortest length machined, "
                f"{self.says(shop.shortest_machined)}, and the longest ripped, {self.says(shop.longest_rip)}. "
                "Write a finer one.",
            )
        return data
