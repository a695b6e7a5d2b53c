"""What a visitor fills in, and whom the owner says it was."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError

from shopapp.common.forms import ShopForm, speak_our_words
from shopapp.people.choosing import PersonField

from .words import seen

LONGEST_NAME, LONGEST_WAY, LONGEST_WORDS = 80, 254, 2000


class _Seen(forms.CharField):
    """A text of somebody nobody knows. What is nothing but unseen signs is nothing."""

    def __init__(self, *, lines: bool = False, **kwargs) -> None:
        super().__init__(**kwargs)
        self.lines = lines

    def to_python(self, value: object) -> str:
        return seen(super().to_python(value), lines=self.lines)


class EnquiryForm(forms.Form):
    """Without a one-use key, for the page is the same for everybody and may be kept on the way; what is sent twice is
    known by its words. ``website`` stands where nobody sees it: only a program that fills in all of it writes there."""

    name = _Seen(label="Your name", max_length=LONGEST_NAME, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    way = _Seen(
        label="How you want to be answered",
        max_length=LONGEST_WAY,
        help_text="An e-mail address or a phone number.",
        widget=forms.TextInput(attrs={"autocomplete": "email"}),
    )
    words = _Seen(label="What you ask", max_length=LONGEST_WORDS, lines=True, widget=forms.Textarea(attrs={"rows": 5}))
    website = forms.CharField(
        label="Leave this empty",
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "tabindex": "-1"}),
    )

    def __init__(self, data=None) -> None:
        super().__init__(data, auto_id="ask_%s", label_suffix="")
        speak_our_words(self.fields)

    def clean_website(self) -> str:
        if self.cleaned_data["website"]:
            raise ValidationError("This field is to be left empty. Empty it, then send it again.")
        return ""

    def visible_in_order(self) -> list[forms.BoundField]:
        """Without the one that nobody fills in, unless something was written there."""
        return [bound for bound in self if bound.name != "website" or bound.errors]

    summary = ShopForm.summary


class TakeForm(ShopForm):
    """Whoever asked, chosen from the book or written into it."""

    person = PersonField(label="Who asked")
