"""Lengths in the database, and form fields that read what people type exactly and show it back as typed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django import forms
from django.db import models

from planner.measures import (
    Length,
    MeasureError,
    length_as_typed,
    parse_count,
    parse_length,
    parse_money,
    parse_number,
    parse_percent,
    round_half_up,
)

# What every money column holds: eight digits before the point. A larger one could be written and never read again.
MOST_MONEY = 10**8 - 1


class LengthField(models.BigIntegerField):
    """A planner Length, kept as whole nanometres."""

    description = "An exact length"

    def deconstruct(self):
        """A migration writes the default as the number that is stored."""
        name, path, args, kwargs = super().deconstruct()
        if isinstance(kwargs.get("default"), Length):
            kwargs["default"] = kwargs["default"].nm
        return name, path, args, kwargs

    def from_db_value(self, value, expression, connection):
        return None if value is None else Length.from_nm(value)

    def to_python(self, value):
        if value is None or isinstance(value, Length):
            return value
        return Length.from_nm(int(value))

    def get_prep_value(self, value):
        return value.nm if isinstance(value, Length) else value

    def value_to_string(self, obj) -> str:
        return str(self.value_from_object(obj).nm)


class ShareField(models.DecimalField):
    """A share of one with six decimals, given and taken as a Fraction; 0.25 is a quarter."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **{"max_digits": 9, "decimal_places": 6, **kwargs})

    def deconstruct(self):
        """A migration writes the default as the number that is stored."""
        name, path, args, kwargs = super().deconstruct()
        if isinstance(kwargs.get("default"), Fraction):
            kwargs["default"] = _decimal(kwargs["default"])
        return name, path, args, kwargs

    def from_db_value(self, value, expression, connection):
        return None if value is None else Fraction(value)

    def to_python(self, value):
        return value if value is None or isinstance(value, Fraction) else Fraction(str(value))

    def get_db_prep_value(self, value, connection, prepared=False):
        return connection.ops.adapt_decimalfield_value(_decimal(value), self.max_digits, self.decimal_places)

    def get_db_prep_save(self, value, connection):
        return None if value is None else self.get_db_prep_value(value, connection)

    def get_prep_value(self, value):
        return _decimal(value)

    def value_to_string(self, obj) -> str:
        return str(_decimal(self.value_from_object(obj)))


def _decimal(value):
    return round_half_up(value, 6) if isinstance(value, Fraction) else value


class MeasureFormField(forms.CharField):
    """A text field whose words are read by the planner; refusals come with the planner's own words."""

    suffix = ""
    inputmode = "decimal"

    def __init__(self, *, max_length: int = 40, **kwargs) -> None:
        super().__init__(max_length=max_length, **kwargs)
        self.widget.attrs.update({"inputmode": self.inputmode, "autocomplete": "off"})
        self.error_messages["required"] = "Nothing is written here yet. Write a value."

    def read(self, text: str):
        raise NotImplementedError

    def show(self, value) -> str:
        return str(value)

    def prepare_value(self, value):
        return value if value is None or isinstance(value, str) else self.show(value)

    def to_python(self, value):
        text = super().to_python(value)
        return None if text in self.empty_values else text

    def clean(self, value):
        text = super().clean(value)
        if text is None:
            return None
        try:
            return self.read(text)
        except MeasureError as error:
            raise forms.ValidationError(str(error), code="measure") from error

    def has_changed(self, initial, data) -> bool:
        return True


class LengthFormField(MeasureFormField):
    """A length; a bare number is in ``unit``. ``storable`` refuses what is finer than a nanometre."""

    inputmode = "text"

    def __init__(self, *, unit: str = "mm", allow_zero: bool = False, **kwargs) -> None:
        self.unit = unit
        self.allow_zero = allow_zero
        super().__init__(**kwargs)

    @property
    def suffix(self) -> str:
        return self.unit

    def read(self, text: str) -> Length:
        length = parse_length(text, self.unit, allow_zero=self.allow_zero)
        length.nm  # noqa: B018 - refuses, in words, what could not be kept exactly
        return length

    def show(self, value: Length) -> str:
        # Not the rounded form of a table: saving a form that was only opened must not move a length.
        return length_as_typed(value, self.unit)


class CountFormField(MeasureFormField):
    inputmode = "numeric"

    def __init__(self, *, least: int = 0, most: int | None = None, **kwargs) -> None:
        self.least, self.most = least, most
        super().__init__(**kwargs)

    def read(self, text: str) -> int:
        return parse_count(text, least=self.least, most=self.most)


class NumberFormField(MeasureFormField):
    def __init__(self, *, least=0, most=None, suffix: str = "", **kwargs) -> None:
        self.least, self.most, self.suffix = least, most, suffix
        super().__init__(**kwargs)

    def read(self, text: str) -> Fraction:
        return parse_number(text, least=self.least, most=self.most)

    def show(self, value) -> str:
        # A third of a minute stays a third: saving a form that was only opened must not move a number.
        exact, shown = Fraction(value), plain_number(Fraction(value))
        return shown if Fraction(shown) == exact else str(exact)


class DecimalFormField(NumberFormField):
    """A number kept with a fixed count of decimals; more of them are refused rather than rounded away."""

    def __init__(self, *, places: int, **kwargs) -> None:
        self.places = places
        super().__init__(**kwargs)

    def read(self, text: str) -> Decimal:
        value = super().read(text)
        rounded = round_half_up(value, self.places)
        if Fraction(rounded) != value:
            raise MeasureError(f"“{text}” has too many decimals.", mend=f"At most {self.places} are kept.")
        return rounded


class PercentFormField(MeasureFormField):
    suffix = "%"

    def __init__(self, *, least=0, most=None, **kwargs) -> None:
        self.least, self.most = least, most
        super().__init__(**kwargs)

    def read(self, text: str) -> Fraction:
        share = parse_percent(text, least=self.least, most=self.most)
        if (share * 10**6).denominator != 1:
            # A ShareField keeps six decimals; what it could not keep is refused rather than rounded away.
            raise MeasureError(f"“{text}” has too many decimals.", mend="At most 4 are kept.")
        return share

    def show(self, value) -> str:
        return plain_number(Fraction(value) * 100)


class MoneyFormField(MeasureFormField):
    def __init__(self, *, exponent: int = 2, suffix: str = "", least: Decimal = Decimal(0), **kwargs) -> None:
        self.exponent, self.suffix, self.least = exponent, suffix, least
        super().__init__(**kwargs)

    def read(self, text: str) -> Decimal:
        amount = parse_money(text, exponent=self.exponent)
        if amount > MOST_MONEY:
            raise MeasureError("That is more than this book can hold.", mend=f"Write at most {MOST_MONEY}.")
        return amount

    def show(self, value) -> str:
        # An amount written when the currency had more decimals is shown whole, never rounded behind one's back.
        whole = Decimal(value)
        decimals = -int(whole.normalize().as_tuple().exponent)
        return str(round_half_up(whole, max(self.exponent, decimals)))


def plain_number(value: Fraction, places: int = 4) -> str:
    """A number as a person writes it, without needless noughts."""
    text = f"{round_half_up(value, places):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
