"""What is chosen when a picture is reduced: which part of it, how many rows and columns, how many colours."""

from __future__ import annotations

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm

from .planning import LARGEST_SIDE, MOST_COLOURS, Cut

# What the page opens with; common practice, no source.
FIRST_SIDE, FIRST_COLOURS = 48, 8


class ReduceForm(ShopForm):
    """The cut in the picture's pixels and the grid it becomes."""

    columns = CountFormField(label="Columns", least=1, most=LARGEST_SIDE)
    rows = CountFormField(label="Rows", least=1, most=LARGEST_SIDE)
    colours = CountFormField(label="Colours at most", least=2, most=MOST_COLOURS)
    left = CountFormField(label="Cut from the left")
    top = CountFormField(label="Cut from the top")
    width = CountFormField(label="Width of the cut", least=1)
    height = CountFormField(label="Height of the cut", least=1)

    def __init__(self, *args, picture: tuple[int, int], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.picture = picture
        for name in ("left", "top", "width", "height"):
            self.fields[name].suffix = "px"

    def clean(self) -> dict:
        cleaned = super().clean()
        for start, length, side, whole in (
            ("left", "width", "right", self.picture[0]),
            ("top", "height", "bottom", self.picture[1]),
        ):
            if cleaned.get(start) is None or cleaned.get(length) is None:
                continue
            if cleaned[start] >= whole:
                self.add_error(start, f"The picture is only {whole} px. Begin the cut before that.")
            elif cleaned[start] + cleaned[length] > whole:
                most = whole - cleaned[start]
                self.add_error(length, f"The cut would reach past the picture’s {side}. Take at most {most} px.")
        return cleaned

    def cut(self) -> Cut:
        names = ("left", "top", "width", "height", "rows", "columns", "colours")
        return Cut(**{name: self.cleaned_data[name] for name in names})


def first_cut(width: int, height: int) -> Cut:
    """The whole picture, its longer side in ``FIRST_SIDE`` squares."""
    longest = max(width, height)
    rows, columns = (max(1, round(FIRST_SIDE * side / longest)) for side in (height, width))
    return Cut(0, 0, width, height, rows, columns, FIRST_COLOURS)
