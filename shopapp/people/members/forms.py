"""What a helper signs in by."""

from __future__ import annotations

from django import forms
from django.contrib.auth.validators import UnicodeUsernameValidator

from shopapp.common.forms import ShopForm


class HelperForm(ShopForm):
    name = forms.CharField(
        label="Name to sign in by",
        max_length=40,
        help_text="One word of letters and digits; dots and dashes may be in it.",
        validators=[UnicodeUsernameValidator()],
        error_messages={
            "invalid": "There is a sign in it that a name cannot have. Write letters, digits, dots and dashes."
        },
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )
