"""What stands on the shop's page, and what of a listing visitors see."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm
from shopapp.listings.models import Listing, PiecePhoto, ShopPage
from shopapp.quotes.forms import long_field


class _Whole(ShopForm):
    """Nothing in it has to be written; so one that came without its key came in part, or from nowhere."""

    def clean(self) -> dict:
        if not self.data.get("form_key"):
            raise forms.ValidationError("What was sent was not whole. Load the page again and send it once more.")
        return self.cleaned_data


class ShopPageForm(_Whole):
    title = forms.CharField(
        label="What the page is called", max_length=80, required=False, help_text="Empty: the workshop’s own name."
    )
    words = long_field("What it says first", 2000, rows=4, required=False)
    about = long_field(
        "About you, below the pieces",
        600,
        rows=4,
        required=False,
        help_text="Where you work, how you sell, and the name and address your law wants on a page that sells. "
        "Nothing of them is taken from the settings: what stands here everybody reads.",
    )
    shows_prices = forms.BooleanField(label="It says what pieces cost", required=False)
    takes_enquiries = forms.BooleanField(label="It takes questions", required=False)

    @staticmethod
    def of(page: ShopPage, data=None) -> ShopPageForm:
        names = ("title", "words", "about", "shows_prices", "takes_enquiries")
        initial = {name: getattr(page, name) for name in names}
        return ShopPageForm(data, initial=initial, edit_version=page.edit_version)


class ShowForm(_Whole):
    """Whether visitors see a listing, and which photos besides the chosen one."""

    public = forms.BooleanField(label="Visitors see it", required=False)

    def __init__(self, data=None, *, listing: Listing, photos: list[PiecePhoto], **kwargs) -> None:
        super().__init__(data, initial={"public": listing.public}, edit_version=listing.edit_version, **kwargs)
        self.photos = photos
        for photo in photos:
            if not photo.chosen:
                label = photo.words or f"photo {photo.place}"
                self.fields[f"photo_{photo.pk}"] = forms.BooleanField(
                    label=f"They see {label}", required=False, initial=photo.shown
                )

    def shown(self) -> list[int]:
        return [photo.pk for photo in self.photos if self.cleaned_data.get(f"photo_{photo.pk}")]
