"""What is asked of a glue, a finish, clamps and a row jig, and where on the data sheet it stands."""

from __future__ import annotations

from datetime import date, timedelta

from django import forms
from django.db.models import Model
from django.utils import timezone

from shopapp.common.fields import CountFormField, DecimalFormField, LengthFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.forms import COMMON, unit_of

from .fields import MinutesFormField
from .fields import said as time_said

HOUR, DAY = 60, 24 * 60
MOST_ALIKE = 1000


class MaterialForm(ShopForm):
    """``row`` is what is changed; none where a record is added, with ``initial`` to begin from."""

    name = forms.CharField(label="You call it", max_length=80, help_text="As it is said at the bench; no two alike.")
    source = forms.CharField(
        label="From the data sheet of",
        max_length=160,
        required=False,
        help_text="Which sheet or label these are from. While it is empty they count as an assumption.",
    )
    source_on = forms.DateField(
        label="Read on",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text="Sheets are changed; an old day is a reason to look again.",
        error_messages={"invalid": "This is no day. Write it like 2026-12-24."},
    )
    kept = forms.BooleanField(
        label="Used here", required=False, help_text="Without the tick it is set aside and offered no more."
    )

    def __init__(self, data=None, *, shop, row: Model | None = None, **kwargs) -> None:
        if row is not None:
            initial = {name: getattr(row, name) for name in self.base_fields if hasattr(row, name)}
            kwargs = {"edit_version": row.edit_version, "initial": initial, **kwargs}
        super().__init__(data, **kwargs)
        if row is None:
            del self.fields["kept"]
        self.unit_shown = unit_of(data, shop.unit)
        for field in self.fields.values():
            if isinstance(field, LengthFormField):
                field.unit = self.unit_shown
        others = [name for name in self.fields if name not in MaterialForm.base_fields]
        self.order_fields(["name", *others, "source", "source_on", "kept"])

    def clean_source_on(self) -> date | None:
        on = self.cleaned_data["source_on"]
        if on and (on.year < 1900 or on > timezone.localdate() + timedelta(days=1)):
            raise forms.ValidationError("No sheet was read on that day. Write a day since 1900 that has come.")
        return on

    def values(self) -> dict[str, object]:
        return {name: self.cleaned_data[name] for name in self.fields if name not in ("form_key", "edit_version")}


class AdhesiveForm(MaterialForm):
    open = MinutesFormField(
        label="Joint closed within",
        least=1,
        most=2 * DAY,
        help_text="The sheet's open time: from spreading until the faces meet. Heat and dry air shorten it. "
        "5 min is usual for white glue, from memory.",
    )
    assembly = MinutesFormField(
        label="Full pressure within",
        least=1,
        most=2 * DAY,
        help_text="The sheet's total assembly time: from the first spread until the clamps are tight. A row that takes "
        "longer to load is glued in parts. 10 to 20 min is usual, from memory.",
    )
    clamped = MinutesFormField(
        label="Stays clamped",
        least=1,
        most=14 * DAY,
        help_text="The sheet's clamp or press time at your shop's temperature. About 30 min for a row that nothing "
        "pulls at is common practice, no source.",
    )
    machining = MinutesFormField(
        label="Machined after",
        unit="h",
        most=90 * DAY,
        help_text="From clamps off until it may be planed or sawn. Too early, and the glue line sinks later: a day is "
        "usual, several for a face that stays flush (from memory).",
    )
    sanding = MinutesFormField(
        label="Sanded after", unit="h", most=90 * DAY, help_text="From clamps off until the face may be sanded."
    )
    lowest_celsius = DecimalFormField(
        places=1,
        label="Not glued below",
        suffix="°C",
        most=60,
        required=False,
        help_text="The sheet's lowest temperature, of glue, wood and air alike. Empty where it names none.",
    )

    def clean(self) -> dict:
        typed = super().clean()
        opened, assembly = typed.get("open"), typed.get("assembly")
        if opened and assembly and assembly < opened:
            self.add_error(
                "assembly",
                f"This is less than the {time_said(opened)} in which the joint is closed, and pressure comes after. "
                "Write a longer time.",
            )
        return typed


class FinishForm(MaterialForm):
    raisings = CountFormField(
        label="Grain raised with water",
        most=10,
        help_text="How often it is wetted, dried and sanded back before the first coat; 0 for never. Once, after grit "
        "120, is common practice, no source.",
    )
    raised_dries = MinutesFormField(
        label="Dries before sanding back", unit="h", most=14 * DAY, help_text="Each time the grain is raised. " + COMMON
    )
    coats = CountFormField(
        label="Coats",
        least=1,
        most=30,
        help_text="As many as the sheet asks. A timetable goes by this; costs go by “Glue, abrasives, finish”.",
    )
    soak = MinutesFormField(
        label="Each coat soaks",
        most=7 * DAY,
        help_text="Until it is wiped or buffed; 0 where it is laid on and left. About an hour for oil is common "
        "practice, no source.",
    )
    wipe_within = MinutesFormField(
        label="Wiped no later than",
        least=1,
        most=7 * DAY,
        help_text="After it was laid on, or it turns sticky: wiping has to come in the same hours in the shop.",
    )
    recoat = MinutesFormField(
        label="Next coat after", unit="h", most=60 * DAY, help_text="The sheet's recoat time, from the wiping."
    )
    cure = MinutesFormField(
        label="Fully cured after",
        unit="days",
        least=1,
        most=365 * DAY,
        required=False,
        help_text="The sheet's full cure, from the last wiping, before it is packed or used. Empty for what does not "
        "cure, such as mineral oil.",
    )
    drying = forms.BooleanField(
        label="A drying or hard-wax oil",
        required=False,
        help_text="Rags wet with it can heat themselves and catch fire; every page where it is used says so.",
    )

    def clean(self) -> dict:
        typed = super().clean()
        soak, wipe = typed.get("soak"), typed.get("wipe_within")
        if soak is not None and wipe is not None and wipe < soak:
            self.add_error("wipe_within", f"It soaks for {time_said(soak)} before it is wiped. Write a longer time.")
        if typed.get("drying") and "cure" not in self.errors and typed.get("cure") is None:
            self.add_error("cure", "A drying oil cures. Write the days its sheet names, or untick that it dries.")
        return typed


class _CountedForm(MaterialForm):
    count = CountFormField(label="How many", least=1, most=MOST_ALIKE, help_text="Alike, and free for this work.")

    def __init__(self, data=None, **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["source"].label = "To remember"
        self.fields["source"].help_text = "Where they hang, who lent them, how they were measured."
        self.fields["source_on"].label = "Counted on"
        self.fields["source_on"].help_text = ""


class ClampForm(_CountedForm):
    reach = LengthFormField(
        label="Open to", help_text="Between the jaws, with cauls in. What is wider they cannot press."
    )


class JigForm(_CountedForm):
    longest = LengthFormField(
        label="Longest row it takes", help_text="Between its stops, with both side borders left long. Measure it."
    )
