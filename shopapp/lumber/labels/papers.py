"""Label papers by their measures alone, and where each label of a sheet lies."""

from __future__ import annotations

from dataclasses import dataclass, fields

from planner.errors import PlannerError
from planner.measures import Length, format_length

# A4: ISO 216. Letter: 8.5 by 11 in, ANSI/ASME Y14.1.
SHEETS = {
    "a4": ("A4", Length.of_mm(210), Length.of_mm(297)),
    "letter": ("Letter", Length.of_inches("17/2"), Length.of_inches(11)),
}
MOST_ACROSS, MOST_DOWN = 10, 30
# A printed code is read by a phone held as far away as a hand is when its small squares are no finer than this
# (common practice, no source).
FINEST_SQUARE = Length.of_mm("0.33")
# White around the words and the code within a label.
PADDING = Length.of_mm(2)


@dataclass(frozen=True)
class Paper:
    """A sheet of ``across`` × ``down`` labels, each ``width`` by ``height``, the first ``left`` and ``top`` of the
    sheet's corner, ``gap_across`` and ``gap_down`` between two."""

    sheet: str
    across: int
    down: int
    width: Length
    height: Length
    left: Length
    top: Length
    gap_across: Length
    gap_down: Length

    @property
    def a_sheet(self) -> int:
        return self.across * self.down

    @property
    def sheet_width(self) -> Length:
        return SHEETS[self.sheet][1]

    @property
    def sheet_height(self) -> Length:
        return SHEETS[self.sheet][2]

    def columns(self) -> list[Length]:
        """Left edge of each column."""
        return [self.left + (self.width + self.gap_across) * n for n in range(self.across)]

    def rows(self) -> list[Length]:
        """Upper edge of each row."""
        return [self.top + (self.height + self.gap_down) * n for n in range(self.down)]

    def says(self, unit: str) -> str:
        """The paper by its measures: "A4, 3 × 8 labels of 70 × 37 mm"."""
        name = SHEETS[self.sheet][0]
        width = format_length(self.width, unit, with_unit=False)
        return f"{name}, {self.across} × {self.down} labels of {width} × {format_length(self.height, unit)}"

    def checked(self) -> Paper:
        """This paper, if its labels lie on the sheet. Raises PlannerError naming the field."""
        right = self.columns()[-1] + self.width
        bottom = self.rows()[-1] + self.height
        unit = "in" if self.sheet == "letter" else "mm"
        for reaches, ends, field, way in (
            (right, self.sheet_width, "width", "wide"), (bottom, self.sheet_height, "height", "high"),
        ):  # fmt: skip
            if reaches > ends:
                raise PlannerError(
                    f"The labels reach {format_length(reaches, unit)}; the sheet is {format_length(ends, unit)} {way}.",
                    mend="Measure the sheet once more, or take fewer.",
                    field=field,
                )
        return self

    def as_json(self) -> dict[str, object]:
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        return {name: value.nm if isinstance(value, Length) else value for name, value in values.items()}

    @classmethod
    def from_json(cls, kept: dict[str, object]) -> Paper:
        lengths = {field.name for field in fields(cls)} - {"sheet", "across", "down"}
        return cls(**{name: Length.from_nm(int(v)) if name in lengths else v for name, v in kept.items()})


def _mm(sheet: str, across: int, down: int, *sides: str) -> Paper:
    return Paper(sheet, across, down, *(Length.of_mm(side) for side in sides))


# Grids that are sold everywhere, by their measures: width, height, left, top, gaps (from memory: lay a sheet against
# the light over a first print).
PAPERS = {
    "a4-24-70": _mm("a4", 3, 8, "70", "37", "0", "0.5", "0", "0"),
    "a4-24-63": _mm("a4", 3, 8, "63.5", "33.9", "7.25", "12.9", "2.5", "0"),
    "letter-30": Paper(
        "letter", 3, 10, Length.of_inches("21/8"), Length.of_inches(1), Length.of_inches("3/16"),
        Length.of_inches("1/2"), Length.of_inches("1/8"), Length.of_mm(0),
    ),
}  # fmt: skip
