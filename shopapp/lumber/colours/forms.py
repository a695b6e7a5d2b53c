"""What is sent for a wood's colour: a photo, then the places of card and wood in it and what the piece is; or a colour
set by eye."""

from __future__ import annotations

from collections.abc import Sequence

from django import forms
from django.utils.timezone import localdate

from shopapp.common.forms import ShopForm
from shopapp.lumber.models import ColourPhoto, WoodColour

from .actions import SampleFacts


class PhotoForm(ShopForm):
    """A photo of a piece beside a card."""

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


class PlacesForm(ShopForm):
    """Which card it is, and where card and wood lie in the photo: all that the colour follows from."""

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


class TapForm(PlacesForm):
    """The places, and what the sample is of. ``finishes`` are what the shop's finishes are called."""

    state = forms.ChoiceField(label="The piece is", choices=WoodColour.State.choices)
    piece = forms.CharField(
        label="You call it",
        max_length=60,
        help_text="So that its later photos are found with it: “offcut on the window sill”.",
        widget=forms.TextInput(attrs={"list": "pieces", "autocomplete": "off"}),
        error_messages={"required": "Give the piece a name, so that its next photo is found with it."},
    )
    seen_on = forms.DateField(
        label="The photo is of",
        initial=localdate,
        help_text="The day it was taken, which may be long ago.",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Write the day of the photo.",
            "invalid": "This is no day. Write it as 2026-12-18.",
        },
    )
    finish = forms.ChoiceField(label="With which finish", required=False)
    stands_for_wood = forms.BooleanField(
        label="The wood is shown like it from that day on",
        initial=True,
        required=False,
        help_text="Not for a piece that has aged, while your boards leave you fresh: it is kept all the same.",
    )

    def __init__(self, data=None, *, finishes: Sequence[str], **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["finish"].choices = [("", "none, or not written down"), *((name, name) for name in finishes)]
        if not finishes:
            del self.fields["finish"]
        self.fields["seen_on"].widget.attrs["max"] = localdate().isoformat()

    @property
    def facts(self) -> SampleFacts:
        names = ("state", "piece", "seen_on", "stands_for_wood")
        return SampleFacts(finish=self.cleaned_data.get("finish", ""), **{n: self.cleaned_data[n] for n in names})

    def carried(self) -> list[tuple[str, str]]:
        """What of the piece the address said, to be said again by the next tap where no script runs."""
        return [(name, str(self.initial[name])) for name in ("state", "piece", "finish") if name in self.initial]


class ByEyeForm(ShopForm):
    """A colour set by eye, where no photo is to be had."""

    state = forms.ChoiceField(label="The wood is", choices=WoodColour.State.choices)
    rgb = forms.RegexField(
        r"^#[0-9a-fA-F]{6}$",
        label="Its colour",
        widget=forms.TextInput(attrs={"type": "color"}),
        error_messages={"invalid": "Write a colour as # and six digits 0-9 or a-f, like #543a2b."},
    )
