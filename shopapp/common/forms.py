"""The base of every form that changes something: a one-use key, and the edit version that was seen."""

from __future__ import annotations

import secrets

from django import forms

from shopapp.common.numbers import whole_number

from .actions import spend_key

# What the framework would say in its own words, said in ours; a field that has words of its own keeps them.
WORDS = {
    "required": "Nothing is written here yet. Write a value.",
    "invalid": "This cannot be read. Write it once more.",
    "invalid_choice": "This is not among what is offered. Choose one of the list.",
    "max_length": "This is too long: %(show_value)d characters. Write at most %(limit_value)d.",
    "null_characters_not_allowed": "There is a character in it that no text can hold. Type it anew.",
    "contradiction": "Choose a file or empty the field, not both.",
    "empty": "The file is empty. Choose it again.",
    "missing": "Choose a file.",
}


def speak_our_words(fields: dict[str, forms.Field]) -> None:
    """Replace the framework's own refusals in ``fields`` by ``WORDS``."""
    for field in fields.values():
        own = forms.Field.default_error_messages | type(field).default_error_messages
        for code, words in WORDS.items():
            if code == "max_length" and not isinstance(field, forms.CharField):
                continue
            if field.error_messages.get(code) == own.get(code):
                field.error_messages[code] = words


class SeenVersionField(forms.CharField):
    """The edit version that came with a form. Nobody types it: what is none counts as never seen."""

    widget = forms.HiddenInput

    def clean(self, value: object) -> int:
        text = str(value or "")
        return whole_number(text, 9) or 0


class KeyField(forms.CharField):
    """The one-use key; the action that spends it looks whether it is one."""

    widget = forms.HiddenInput

    def clean(self, value: object) -> str:
        return str(value or "")


class ShopForm(forms.Form):
    """Carries ``form_key`` (spent once, in the action's transaction) and, for edits, ``edit_version``."""

    form_key = KeyField(required=False)
    edit_version = SeenVersionField(required=False)
    required_css_class = "required"

    def __init__(self, *args, edit_version: int | None = None, **kwargs) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})
        self.fields["form_key"].initial = secrets.token_urlsafe(24)
        self.fields["edit_version"].initial = edit_version

    def full_clean(self) -> None:
        # Here, for forms add fields of their own after they are made.
        speak_our_words(self.fields)
        super().full_clean()

    def fresh_key(self) -> str:
        """The key of this form as it was sent, or a new one."""
        return (self.data.get("form_key") if self.is_bound else "") or self.fields["form_key"].initial

    def spend(self) -> None:
        """Spend this form's key. Raises AlreadySent the second time."""
        spend_key(self.data.get("form_key", ""))

    @property
    def seen_version(self) -> int:
        return self.cleaned_data["edit_version"]

    def against(self, now: ShopForm) -> list[tuple[str, str, str, str]]:
        """After a conflict: name, label, what stands now and what was typed, where they differ. The form takes
        the version that stands, so that sending it once more puts what was typed in its place."""
        self.data = self.data.copy()
        self.data["edit_version"] = now.fields["edit_version"].initial
        rows = []
        for bound in self.visible_in_order():
            stands, typed = as_text(now[bound.name]), as_text(bound)
            if stands != typed:
                rows.append((bound.name, str(bound.label), stands, typed))
        return rows

    def visible_in_order(self) -> list[forms.BoundField]:
        return [field for field in self if not field.is_hidden]

    def summary(self) -> list[dict[str, str]]:
        """Every error with the field it belongs to, for the summary at the top of the page."""
        lines = [{"id": "", "label": "", "message": words} for words in self.non_field_errors()]
        for field in self.visible_in_order():
            lines += [{"id": field.id_for_label, "label": field.label, "message": words} for words in field.errors]
        return lines


def as_text(bound: forms.BoundField) -> str:
    """What a field holds, in the words its page shows."""
    value = bound.field.prepare_value(bound.value())
    if isinstance(bound.field, forms.BooleanField):
        return "yes" if value else "no"
    if isinstance(bound.field, forms.ChoiceField):
        return str(dict(bound.field.choices).get(value, value or ""))
    return "" if value is None else str(value)
