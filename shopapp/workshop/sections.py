"""The settings' sections in the order of their page."""

from __future__ import annotations

from dataclasses import dataclass

from .cutting import CuttingForm
from .forms import AllowancesForm, HoursForm, NamesForm, SafeForm, SectionForm, SuppliesForm
from .selling import SellingForm


@dataclass(frozen=True)
class Section:
    """One part of the settings: its address, what it is called, what it is for, and its form."""

    key: str
    title: str
    purpose: str
    form: type[SectionForm]
    caution: str = ""


SECTIONS = (
    Section(
        "safe",
        "Saw and safe limits",
        "What the blades take, and what you will not put on a machine. No plan goes below these.",
        SafeForm,
        "These are your limits, not a clearance. The machine's manual, local rules and your judgement come first: "
        "guard and riving knife on, push sticks at hand, small parts cut with a sled, a hold-down and a stand-off "
        "so that nothing lies loose between blade and stop.",
    ),
    Section(
        "cutting",
        "Cutting boards up",
        "What boards lose before they are ripped, whether they are resawn, and which offcuts go back to the rack.",
        CuttingForm,
        "Resawing wants a sharp wide blade, a tall fence, push blocks and an outfeed. The saw's manual comes first.",
    ),
    Section(
        "allowances",
        "Allowances",
        "How much larger each part is left at each stage, and how many spares are cut.",
        AllowancesForm,
    ),
    Section("supplies", "Glue, abrasives, finish", "What a board uses up besides wood.", SuppliesForm,
            "Read the data sheets. Rags wet with drying oil can heat themselves and catch fire: "
            "dry them flat outdoors."),
    Section("hours", "Hours", "What your hour is worth, and how long each kind of work takes you.", HoursForm),
    Section("selling", "Selling", "Margin, tax, carriage and the fees of where you sell.", SellingForm),
    Section("names", "Names and units", "How this book writes lengths and money.", NamesForm),
)  # fmt: skip
