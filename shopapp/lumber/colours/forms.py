"""What is sent for a wood's colour: a photo, then the places of card and wood in it."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm
from shopapp.lumber.models import ColourPhoto, WoodColour


class PhotoForm(ShopForm):
    """A photo of an oiled piece beside a card."""

    photo = forms.FileField(
        label="The photo",
        help_text="PNG, JPEG, GIF or WebP, up to 12 MB and 16 million pixels.",
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg,image/gif,image/webp"}),
        error_messages={"required": "Choose a photo."},
    )


class PlaceField(forms.IntegerField):
    """A place in the photo, in its pixels from the left or from the top."""

    suffix = "px"

    def __init__(self, label: str) -> None:
        super().__init__(label=label, min_value=0, widget=forms.TextInput(attrs={"inputmode": "numeric"}))
        self.error_messages["required"] = "Tap it in the photo, or write its place."
        self.error_messages["invalid"] = "Write a whole number of pixels."

    def reach(self, most: int) -> None:
        """Places up to ``most`` only."""
        self.max_value = most
        self.validators = [self._within]

    def _within(self, value: int) -> None:
        if not 0 <= value <= self.max_value:
            raise forms.ValidationError(f"The photo reaches from 0 to {self.max_value}. Write a number between.")


class TapForm(ShopForm):
    """Which card it is, and where card and wood lie in the photo."""

    card = forms.ChoiceField(label="The card is", choices=WoodColour.Card.choices)
    card_x = PlaceField("Card, from the left")
    card_y = PlaceField("Card, from the top")
    wood_x = PlaceField("Wood, from the left")
    wood_y = PlaceField("Wood, from the top")

    def __init__(self, data=None, *, photo: ColourPhoto, **kwargs) -> None:
        super().__init__(data, **kwargs)
        for name in ("card_x", "card_y", "wood_x", "wood_y"):
            self.fields[name].reach(photo.shown.width if name.endswith("x") else photo.shown.height)

    @property
    def places(self) -> dict[str, tuple[int, int]]:
        typed = self.cleaned_data
        return {"card": (typed["card_x"], typed["card_y"]), "wood": (typed["wood_x"], typed["wood_y"])}

    def place_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in ("card_x", "card_y", "wood_x", "wood_y")]
