"""The base of every form that changes something: a one-use key, and the edit version that was seen."""

from __future__ import annotations

import secrets

from django import forms

from .actions import spend_key


class ShopForm(forms.Form):
    """Carries ``form_key`` (spent once, in the action's transaction) and, for edits, ``edit_version``."""

    form_key = forms.CharField(widget=forms.HiddenInput, required=False)
    edit_version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    required_css_class = "required"

    def __init__(self, *args, edit_version: int | None = None, **kwargs) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})
        self.fields["form_key"].initial = secrets.token_urlsafe(24)
        self.fields["edit_version"].initial = edit_version

    def fresh_key(self) -> str:
        """The key of this form as it was sent, or a new one."""
        return (self.data.get("form_key") if self.is_bound else "") or self.fields["form_key"].initial

    def spend(self) -> None:
        """Spend this form's key. Raises AlreadySent the second time."""
        spend_key(self.data.get("form_key", ""))

    @property
    def seen_version(self) -> int:
        return self.cleaned_data.get("edit_version") or 0

    def against(self, now: ShopForm) -> list[tuple[str, str, str, str]]:
        """After a conflict: name, label, what stands now and what was typed, where they differ. The form takes
        the version that stands, so that sending it once more puts what was typed in its place."""
        self.data = self.data.copy()
        self.data["edit_version"] = now.fields["edit_version"].initial
        rows = []
        for bound in self.visible_in_order():
            stands, typed = _as_text(now[bound.name]), _as_text(bound)
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


def _as_text(bound: forms.BoundField) -> str:
    value = bound.field.prepare_value(bound.value())
    return "" if value is None else str(value)
