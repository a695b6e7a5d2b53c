"""A wood for each colour of the grid."""

from __future__ import annotations

from django import forms

from shopapp.common.fields import CountFormField
from shopapp.common.forms import ShopForm

from .planning import BACKGROUND, GridColour


class WoodsForm(ShopForm):
    """One choice of wood for each colour of the grid, and how much background to add around."""

    margin = CountFormField(
        label="Background added on every side",
        least=0,
        most=20,
        help_text="In tiles. A side border needs background beside it to hold on to.",
    )

    def __init__(
        self,
        *args,
        colours: list[GridColour],
        woods: list[tuple[str, str]],
        suggestion: list[str],
        margin: int,
        **kwargs,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.colours = colours
        self.fields["margin"].initial = margin
        choices = [*woods, (BACKGROUND, "background")]
        for i, colour in enumerate(colours):
            self.fields[f"colour_{i}"] = forms.ChoiceField(
                label=f"Colour {i + 1}, {colour.cells} {'tile' if colour.cells == 1 else 'tiles'}",
                choices=choices,
                required=False,
                initial=suggestion[i] if i < len(suggestion) else BACKGROUND,
                error_messages={
                    "invalid_choice": "This wood is not on hand any more. Choose one of the woods on hand."
                },
            )

    def rows(self):
        """Each colour beside the field that gives it a wood."""
        return [(colour, self[f"colour_{i}"]) for i, colour in enumerate(self.colours)]

    def chosen(self) -> list[str]:
        return [self.cleaned_data[f"colour_{i}"] for i in range(len(self.colours))]

    def clean(self) -> dict:
        cleaned = super().clean()
        if not self.errors and all(choice == BACKGROUND for choice in self.chosen()):
            raise forms.ValidationError("Every colour is background. Give at least one colour a wood.")
        return cleaned
