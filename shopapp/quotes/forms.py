"""Fields that quotes, jobs and listings have alike."""

from __future__ import annotations

from django import forms


def day_field(label: str, **kwargs) -> forms.DateField:
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **kwargs)


def long_field(label: str, longest: int, rows: int = 3, **kwargs) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows})
    return forms.CharField(label=label, max_length=longest, widget=widget, **kwargs)
