"""Photos that are brought, several at once, and what is to be seen in one."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm
from shopapp.common.images import MOST_BYTES


class SeveralFiles(forms.FileInput):
    allow_multiple_selected = True

    def value_from_datadict(self, data, files, name: str) -> list:
        return files.getlist(name) if hasattr(files, "getlist") else [files[name]] if name in files else []


class SeveralFilesField(forms.FileField):
    """Cleaned to a list of uploads."""

    def clean(self, data, initial=None) -> list:
        if data and len(data) > 1 and sum(one.size or 0 for one in data) > MOST_BYTES:
            # What is beyond the limit never arrived: the last of them would be kept in half.
            raise forms.ValidationError("Together they are more than 12 MB. Bring a few at a time.")
        one_by_one = super().clean
        return [one_by_one(one, initial) for one in data or [None]]


class PhotosForm(ShopForm):
    photos = SeveralFilesField(
        label="Photos",
        help_text="One or several: PNG, JPEG, GIF or WebP, up to 12 MB together and 16 million pixels each.",
        widget=SeveralFiles(attrs={"accept": "image/png,image/jpeg,image/gif,image/webp"}),
        error_messages={"required": "Choose a photo."},
    )


class PhotoWordsForm(ShopForm):
    words = forms.CharField(label="What is to be seen in it", max_length=160, required=False)

    def __init__(self, data=None, *, photo, **kwargs) -> None:
        super().__init__(data, auto_id=f"photo{photo.pk}_%s", initial={"words": photo.words}, **kwargs)
