"""What is typed when a picture is brought."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm


class BringForm(ShopForm):
    """A picture file and a name for what it will become."""

    name = forms.CharField(
        label="Name",
        max_length=80,
        help_text="What you would call the board.",
        error_messages={"required": "Give the design a name, so that you find it again."},
    )
    picture = forms.FileField(
        label="Picture",
        help_text="A PNG, GIF, WebP or JPEG of at most 12 MB, one square a cell or enlarged by a whole number.",
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg,image/gif,image/webp"}),
        error_messages={
            "required": "Choose a picture file.",
            "empty": "The file is empty. Choose the picture again.",
            "missing": "Choose a picture file.",
        },
    )
