"""Amounts and numbers: what the book cannot hold is refused, and what it holds is shown whole."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django import forms

from shopapp.common.fields import MOST_MONEY, MoneyFormField, NumberFormField
from shopapp.common.forms import ShopForm
from shopapp.workshop.models import Workshop


@pytest.mark.django_db
def test_the_largest_amount_a_form_takes_can_be_read_back():
    amount = MoneyFormField().clean(str(MOST_MONEY))
    Workshop.objects.create(pk=1, hour=amount)
    assert Workshop.objects.get().hour == MOST_MONEY
    with pytest.raises(forms.ValidationError, match="more than this book can hold"):
        MoneyFormField().clean(str(MOST_MONEY + 1))


def test_an_amount_with_more_decimals_than_the_currency_now_has_is_shown_whole_and_refused_rather_than_rounded():
    field = MoneyFormField(exponent=0)
    assert field.prepare_value(Decimal("4.5000")) == "4.5"
    assert field.prepare_value(Decimal("20.0000")) == "20"
    with pytest.raises(forms.ValidationError, match="too many decimals"):
        field.clean("4.5")


@pytest.mark.parametrize("number", [Fraction(1, 3), Fraction(5, 2), Fraction(10, 3)])
def test_a_number_shown_is_read_back_the_same(number):
    field = NumberFormField()
    assert field.clean(field.prepare_value(number)) == number


def test_every_form_refuses_in_our_words_and_a_field_with_its_own_keeps_them():
    class Note(ShopForm):
        name = forms.CharField(max_length=4)
        kind = forms.ChoiceField(choices=[("a", "a")])
        said = forms.CharField(error_messages={"required": "Say it."})

    form = Note({"name": "abcdef", "kind": "z", "said": "", "edit_version": "x\x00", "form_key": "\x00"})
    assert dict(form.errors) == {
        "name": ["This is too long: 6 characters. Write at most 4."],
        "kind": ["This is not among what is offered. Choose one of the list."],
        "said": ["Say it."],
    }
    assert form.seen_version == 0
