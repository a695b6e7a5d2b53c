"""What a book would be bound from now: the newest kept rows of a key, and what else it says and may change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopapp.lumber.colours.readers import tones_of
from shopapp.plans.cutting.sheets.readers import places_now
from shopapp.plans.models import CutSheet, KeptTimetable, ShopBook, TileMeasured, book_fingerprint
from shopapp.workshop.models import Workshop

from .finishing import finish_now
from .gauged import newest_measure
from .wanted import Binding

# Raised when a book says something else of the same rows, so that it is made anew when it is asked for.
FORM = 1


@dataclass(frozen=True)
class Bound:
    """Rows to bind; ``sheet`` and ``timetable`` are None where none is kept, ``gauged`` where no tile was measured."""

    binding: Binding
    sheet: CutSheet | None
    timetable: KeptTimetable | None
    seen: Mapping[str, object]
    gauged: TileMeasured | None = None

    def fingerprint(self, paper: str) -> str:
        rows = (self.binding.plan, self.sheet, self.timetable)
        return book_fingerprint(
            {
                "form": FORM,
                "key": self.binding.key,
                "label": self.binding.label,
                "rows": [row and [row.pk, row.sha256] for row in rows],
                "seen": self.seen,
                "paper": paper,
            }
        )

    def as_row(self, paper: str) -> dict[str, object]:
        """The fields of a ``ShopBook``, its hash left out."""
        return {
            "key": self.binding.key,
            "label": self.binding.label,
            "plan": self.binding.plan,
            "sheet": self.sheet,
            "timetable": self.timetable,
            "paper": paper,
            "seen": self.seen,
        }


def bound_now(binding: Binding, workshop: Workshop) -> Bound:
    """At most seven queries."""
    sheet = CutSheet.objects.filter(key=binding.key, plan=binding.plan).defer("form", "set_ups").first()
    timetables = KeptTimetable.objects.filter(key__in=(binding.key, *binding.before), plan=binding.plan)
    timetable = timetables.defer("form").first()
    seen = {
        "name": workshop.name,
        "unit": workshop.unit,
        "words": workshop.words,
        "places": places_now(sheet) if sheet else {},
        "colours": tones_of(wood["wood"] for wood in binding.plan.record["woods"]),
        "finish": finish_now(timetable),
    }
    gauged = newest_measure(sheet, binding.plan)
    if gauged is not None:
        seen["gauged"] = gauged.pk
    return Bound(binding, sheet, timetable, seen, gauged)


def usual_paper(workshop: Workshop) -> str:
    """A4, or Letter for a shop that writes inches (common practice, no source)."""
    return ShopBook.Paper.LETTER if workshop.unit == "in" else ShopBook.Paper.A4
