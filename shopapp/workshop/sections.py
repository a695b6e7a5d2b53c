"""The settings' sections in the order of their page."""

from __future__ import annotations

from dataclasses import dataclass

from .carriage import CarriageForm
from .cutting import CuttingForm
from .details import DetailsForm
from .forms import AllowancesForm, HoursForm, NamesForm, SafeForm, SectionForm, SuppliesForm
from .making import AroundForm, ClimateForm, PlacesForm
from .papers import PapersForm
from .selling import SellingForm


@dataclass(frozen=True)
class Door:
    """What is set on pages of its own: the name of their first address, what it is called, what it is for."""

    page: str
    title: str
    purpose: str


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
    Section(
        "places",
        "People, places and clamping",
        "Who works, where clamped things lie, and how rows and joints are pressed.",
        PlacesForm,
    ),
    Section(
        "around",
        "Days around the work",
        "What comes before the first cut and after the last buffing: buying, settling, packing, the carrier.",
        AroundForm,
    ),
    Section(
        "climate",
        "Air of the shop and of the home",
        "What moisture wood has when you glue it, and what it comes to where the board will be.",
        ClimateForm,
    ),
    Section("supplies", "Glue, abrasives, finish", "What a board uses up besides wood.", SuppliesForm,
            "Read the data sheets. Rags wet with drying oil can heat themselves and catch fire: "
            "dry them flat outdoors."),
    Section("hours", "Hours", "What your hour is worth, and how long each kind of work takes you.", HoursForm),
    Section("details", "Details of a board", "Minutes and hardware of edges, handles, feet, hangers and marks.",
            DetailsForm,
            "A hanger and its screws, and what holds them in the wall, are to bear several times the board: read what "
            "their makers say."),
    Section("selling", "Selling", "What you ask of a sale, tax, friends, and the fees of where you sell.", SellingForm),
    Section("carriage", "Carriage", "What the buyer pays for it, what the carrier asks, and how boards are packed.",
            CarriageForm),
    Section("papers", "Quotes and invoices", "What stands on your papers, usual terms, and how long they are kept.",
            PapersForm,
            "Rules for tax, invoices and how long they are kept differ by place: an accountant where you are decides."),
    Section("names", "Names and units", "How this book writes lengths and money.", NamesForm),
)  # fmt: skip

# Beside the sections, for they are lists of records.
DOORS = (
    Door("workshop:gluing", "Gluing and finishing", "Glue, finish, row jigs and clamps, as data sheets have them."),
    Door("schedule:week", "Hours in the shop", "The evenings and Saturdays timetables are made of, and other days."),
)
