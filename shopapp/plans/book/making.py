"""The sections of a shop book from the parts on, in their order."""

from __future__ import annotations

from collections.abc import Callable

from .details import details_of
from .evenings import cards_of
from .finishing import finishing_of
from .minding import last_cautions
from .notes import notes_of
from .parts import parts_of
from .rows import rows_of
from .told import Told
from .truing import truing_of

MAKING: dict[str, Callable[[Told], object]] = {
    "parts": parts_of,
    "rows": rows_of,
    "cards": cards_of,
    "truing": truing_of,
    "details": details_of,
    "finishing": finishing_of,
    "cautions": last_cautions,
    "notes": notes_of,
}
