"""What the page of a preview shows, and where other pages find the picture of a board in real grain."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from urllib.parse import urlencode

from planner.measures import Length, format_length
from shopapp.plans.readers import RecordView

from . import planning
from .planning import Look

# From how far a board is looked at: in the hand, at a table's end, across a room, across a hall.
DISTANCES = ("", "2", "4", "8")
# Where nothing else was chosen, woods that melt together are told from this far, in metres.
ACROSS = 4.0
# Widths that a picture is shown at, in pixels; a browser takes the one that its screen has use for.
SHOWN = (480, 960, 1600)


@dataclass(frozen=True)
class Grain:
    """Where a picture in real grain is: its ``address`` ends so that a width may follow."""

    address: str

    @property
    def middling(self) -> str:
        return f"{self.address}{SHOWN[1]}"

    @property
    def sizes(self) -> str:
        return ", ".join(f"{self.address}{width} {width}w" for width in SHOWN)


def in_grain(to: Callable[[str], str]) -> dict[str, object]:
    """What ``plans/_grain.html`` needs besides the board; ``to`` makes an address of a door's page."""
    return {"grain": grain_at(to("preview_png")), "closer": to("preview")}


def grain_at(address: str, asked: Mapping[str, str] = MappingProxyType({})) -> Grain:
    return Grain(f"{address}?{urlencode({**asked, 'width': ''})}")


@dataclass(frozen=True)
class Melting:
    """Two woods that melt together, as names; ``across`` the room, else dry on the bench; ``estimated`` where a dry
    colour is no sample's. ``touching`` is how long they touch."""

    one: str
    other: str
    across: bool
    touching: str
    estimated: bool


class Seen:
    """A board as its preview's page shows it."""

    def __init__(self, record: Mapping, title: str, unit: str, look: Look) -> None:
        self.look = look
        self.view = RecordView(dict(record), title, unit)
        self.unit = unit
        self._record = record
        self._tones = planning.tones_of_record(record)

    @property
    def metres(self) -> float:
        return self.look.metres or ACROSS

    @property
    def words(self) -> str:
        """What the picture shows, for whoever cannot see it."""
        wide, high = (format_length(size, self.unit) for size in self.view.hanging_size)
        names = ", ".join(tone.name for tone in self._tones.values())
        near = f"from {self.look.metres:g} metres away" if self.look.metres else "from near by"
        return f"{self.view.title}: the board in its woods ({names}), {self.look.finish}, {wide} by {high}, {near}."

    @property
    def estimated(self) -> list[str]:
        """Woods whose dry colour is worked out from their oiled one."""
        return [tone.name for tone in self._tones.values() if tone.dry is None] if self.look.finish == "dry" else []

    def melting(self) -> list[Melting]:
        return [
            Melting(
                self._tones[melt.one].name,
                self._tones[melt.other].name,
                melt.where == "across",
                format_length(Length.of_mm(round(melt.touching)), self.unit),
                melt.where == "dry" and None in (self._tones[melt.one].dry, self._tones[melt.other].dry),
            )
            for melt in planning.melts_of(self._record, self._tones, self.metres)
        ]
