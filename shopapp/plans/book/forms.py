"""What is asked of whoever asks for a shop book."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm
from shopapp.plans.models import ShopBook


class BookForm(ShopForm):
    paper = forms.ChoiceField(label="Paper", choices=ShopBook.Paper.choices)
