"""The four kinds of record, each with its address, its words and its form; and each of them in a sentence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from planner.measures import Length, format_length
from shopapp.common.fields import plain_number
from shopapp.workshop import readers
from shopapp.workshop.models import Adhesive, ClampKind, Finish, RowJig, Workshop
from shopapp.workshop.models.materials import Material

from .fields import said
from .forms import AdhesiveForm, ClampForm, FinishForm, JigForm, MaterialForm


@dataclass(frozen=True)
class Kind:
    """``in_use`` gives what the shop goes by; ``says`` a record in a sentence; ``from_sheet`` where data sheets have
    what it asks, and the starting record's values are offered to begin from."""

    slug: str
    model: type[Material]
    form: type[MaterialForm]
    title: str
    one: str
    purpose: str
    in_use: Callable[[], list[Material]]
    says: Callable[[Material, Workshop], str]
    from_sheet: bool = False


def glue_said(row: Adhesive, shop: Workshop) -> str:
    lowest = (
        "" if row.lowest_celsius is None else f" Not below {plain_number(row.lowest_celsius, 1)}\N{NO-BREAK SPACE}°C."
    )
    after = (
        f"machined and sanded {_span(row.machining)} after"
        if row.machining == row.sanding
        else f"machined {_span(row.machining)} and sanded {_span(row.sanding)} after"
    )
    return (
        f"Closed within {_span(row.open)}, full pressure within {_span(row.assembly)}. Clamped {_span(row.clamped)}; "
        f"{after}.{lowest}"
    )


def too_cold(row: Adhesive, shop: Workshop) -> bool:
    """Whether the shop's air, as its settings have it, is colder than this glue allows."""
    return row.lowest_celsius is not None and shop.shop_celsius < row.lowest_celsius


def finish_said(row: Finish, shop: Workshop) -> str:
    times = {0: "not raised", 1: "raised once", 2: "raised twice"}.get(row.raisings, f"raised {row.raisings} times")
    raised = f"Grain {times}" + (f", {_span(row.raised_dries)} to dry" if row.raisings else "")
    coats = "1 coat" if row.coats == 1 else f"{row.coats} coats, {_span(row.recoat)} apart"
    cure = "it does not cure" if row.cure is None else f"cured after {_span(row.cure)}"
    return f"{raised}. {coats}, soaked {_span(row.soak)}, wiped within {_span(row.wipe_within)}; {cure}."


def clamps_said(row: ClampKind, shop: Workshop) -> str:
    opens = f"opens to {_size(row.reach, shop)}" if row.count == 1 else f"each opens to {_size(row.reach, shop)}"
    return f"{row.count} clamp{'' if row.count == 1 else 's'}, {opens}."


def jig_said(row: RowJig, shop: Workshop) -> str:
    return f"{row.count} jig{'' if row.count == 1 else 's'}, for rows up to {_size(row.longest, shop)}."


def _span(minutes: int) -> str:
    return said(minutes).replace(" ", "\N{NO-BREAK SPACE}")


def _size(length: Length, shop: Workshop) -> str:
    return format_length(length, shop.unit).replace(" ", "\N{NO-BREAK SPACE}")


KINDS = (
    Kind("glue", Adhesive, AdhesiveForm, "Glue", "a glue",
         "How long a row may take to load, how long it stays clamped, and when it may be worked.",
         readers.adhesives, glue_said, from_sheet=True),
    Kind("finish", Finish, FinishForm, "Finish", "a finish",
         "What comes on the wood, how often, and when it is cured.",
         readers.finishes, finish_said, from_sheet=True),
    Kind("jigs", RowJig, JigForm, "Row jigs", "a row jig",
         "Where tiles are pressed into a row: how many there are, and the longest row each takes.",
         readers.row_jigs, jig_said),
    Kind("clamps", ClampKind, ClampForm, "Clamps", "clamps",
         "For rows in their jigs and for joining rows: a joint is only planned where enough of them reach.",
         readers.clamps, clamps_said),
)  # fmt: skip
