"""What is written to customers, and what they write."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError

from shopapp.common.forms import ShopForm
from shopapp.common.mail import LONGEST_ADDRESS, address_of
from shopapp.quotes.forms import day_field, long_field


class AddressField(forms.CharField):
    """One e-mail address, read with care."""

    def __init__(self, **kwargs) -> None:
        widget = forms.EmailInput(attrs={"autocomplete": "off"})
        # Blanks at its ends are taken off where it is read; a line break there is none to be passed over.
        super().__init__(widget=widget, max_length=LONGEST_ADDRESS + 40, strip=False, **kwargs)

    def clean(self, value: object) -> str:
        text = super().clean(value)
        return address_of(text) if text.strip() else self._nothing()

    def _nothing(self) -> str:
        if self.required:
            raise ValidationError(self.error_messages["required"], code="required")
        return ""


class LinkForm(ShopForm):
    until = day_field("It opens until", help_text="No later than the quote is valid.")


class LetterForm(ShopForm):
    to = AddressField(label="To")
    words = long_field("What the letter says first", 1000, help_text="Price, days, the link and your address follow.")


class AnswerForm(ShopForm):
    words = long_field("What you answer", 1000)
    to = AddressField(label="Also by e-mail to", required=False, help_text="Empty: it stands at the link alone.")

    def __init__(self, data=None, *, by_mail: bool, **kwargs) -> None:
        super().__init__(data, **kwargs)
        if not by_mail:
            del self.fields["to"]


def own_name(**kwargs) -> forms.CharField:
    widget = forms.TextInput(attrs={"autocomplete": "name"})
    return forms.CharField(label="Your name", max_length=80, widget=widget, **kwargs)


class AcceptForm(ShopForm):
    """What a customer says yes to: ``choices`` are (place, words) of each option. ``seen`` is the hash of what the page
    said."""

    option = forms.ChoiceField(label="Which one")
    name = own_name()
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, data=None, *, choices: list[tuple[str, str]], **kwargs) -> None:
        super().__init__(data, **{"auto_id": "accept_%s", **kwargs})
        self.fields["option"].choices = choices
        self.fields["option"].error_messages["required"] = "Choose one of them."
        if len(choices) == 1:
            self.fields["option"].widget = forms.HiddenInput()
            self.fields["option"].initial = choices[0][0]


class DeclineForm(ShopForm):
    name = own_name()
    reason = long_field("Why, if you like to say", 600, required=False)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, data=None, **kwargs) -> None:
        super().__init__(data, **{"auto_id": "decline_%s", **kwargs})


class AskForm(ShopForm):
    words = long_field("Your question", 1000)

    def __init__(self, data=None, **kwargs) -> None:
        super().__init__(data, **{"auto_id": "ask_%s", **kwargs})
