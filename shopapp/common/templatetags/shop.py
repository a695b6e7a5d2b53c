"""How the shop's values look on a page: lengths, money, figures with their sums, fields and errors."""

from __future__ import annotations

import secrets
from decimal import Decimal
from fractions import Fraction

from django import forms, template
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from planner.measures import Length, format_length, round_half_up
from shopapp.common.fields import plain_number
from shopapp.common.woodmeasure import MEASURES
from shopapp.common.words import in_shop_words

register = template.Library()

_UNIT_WORDS = {"share": "", "money": "", "m3": "m³", "m2": "m²", "mm3": "mm³", "g/m2": "g/m²", "l/m2": "l/m²"}
# What is counted: in the record some stand for one, some for many.
_MANY = {
    **{"batch": "batches", "strip": "strips", "cut": "cuts", "row": "rows", "joint": "joints"},
    **{"border": "borders", "setting": "settings", "disc": "discs or sheets"},
    **{"panel": "panels", "slice": "slices", "key": "keys", "glue-up": "glue-ups"},
}
_COUNTED = {"pieces", "tiles", "boards", "grits", "coats", "jobs"}
# Columns of these keep their decimals, so that they line up.
_LINED_UP = {"bf", "m3", "h"}
# Half a minute is shown as half a minute, and a setting with all the decimals it is kept with.
_PLACES = {
    **{"bf": 2, "m3": 4, "m2": 4, "h": 1, "min": 2, "min each": 4, "dm²": 2, "l/m2": 4, "g/m2": 3, "times": 3},
    **{"g": 0, "ml": 0, "dm³": 3, "kg/m³": 0, "points": 1, "per point": 5},
}

# The international pound, exactly.
KG_IN_A_POUND = Fraction("0.45359237")


@register.filter
def as_length(value: object, unit: str = "mm") -> str:
    """A Length, or the exact text of one in millimetres, in the shop's unit; it never breaks before the unit."""
    shown = format_length(value if isinstance(value, Length) else Length.of_mm(str(value)), unit)
    return shown.replace(" ", "\u00a0")


@register.filter
def bare_length(value: object, unit: str = "mm") -> str:
    return format_length(value if isinstance(value, Length) else Length.of_mm(str(value)), unit, with_unit=False)


@register.filter
def money(value: object, shop) -> str:
    """An amount with the shop's symbol, in the currency's own smallest unit."""
    if value is None or value == "":
        return "–"
    amount = round_half_up(Decimal(str(value)), shop.currency_exponent)
    sign = "−" if amount < 0 else ""
    return f"{sign}{shop.currency_symbol}\u00a0{abs(amount):,}".replace(",", "\u202f")


@register.filter
def wood(value: object, shop) -> str:
    """So many board feet as the shop counts wood; with as many decimals each, so that they line up."""
    return shop.counts_wood.told(value)


@register.filter
def bare_wood(value: object, shop) -> str:
    """The same for a column whose head says what it is in."""
    return shop.counts_wood.bare(value)


@register.simple_tag(takes_context=True)
def sold_wood(context, feet: object, per: str) -> str:
    """So many board feet of wood as its price counts it; where that is for something else, as the shop does."""
    return MEASURES.get(per, context["shop"].counts_wood).told(feet)


@register.filter
def percent(value: object) -> str:
    return f"{plain_number(Fraction(str(value)) * 100, 2)}\u00a0%".replace("-", "−")


def value_in_words(record: dict, shop) -> str:
    """A figure's value and unit as the shop writes them."""
    kind, text = record["value"]
    unit = record["unit"]
    if kind == "mm":
        return format_length(Length.of_mm(text), shop.unit)
    if unit == "money":
        return money(text, shop)
    if unit == "share":
        return percent(text)
    if unit == "wood":
        return shop.counts_wood.told(text)
    if unit == "kg" and shop.unit == "in":
        return f"{plain_number(Fraction(text), 2)}\u00a0kg ({plain_number(Fraction(text) / KG_IN_A_POUND, 1)}\u00a0lb)"
    shown = plain_number(Fraction(text), _PLACES.get(unit, 2))
    if unit in _LINED_UP:
        shown = f"{round_half_up(Fraction(text), _PLACES[unit]):f}"
    return f"{shown}\u00a0{_unit_words(unit, one=shown == '1')}".strip()


def _unit_words(unit: str, *, one: bool) -> str:
    """A unit as it is read after its number: of what is counted, one or many."""
    if unit in _MANY:
        return unit if one else _MANY[unit]
    return unit.removesuffix("s") if one and unit in _COUNTED else _UNIT_WORDS.get(unit, unit)


@register.simple_tag(takes_context=True)
def shop_words(context, text: object) -> str:
    """A sentence in the shop's own words for machines and wood."""
    return in_shop_words(str(text or ""), context["shop"].words)


@register.simple_tag(takes_context=True)
def value(context, record: dict) -> str:
    return value_in_words(record, context["shop"])


@register.inclusion_tag("components/figure.html", takes_context=True)
def figure(context, record: dict, label: str, strong: bool = False) -> dict:
    """A labelled number whose sum can be opened."""
    return {**_opened(record, context["shop"]), "label": label, "strong": strong}


@register.inclusion_tag("components/sum.html", takes_context=True)
def how(context, record: dict, label: str = "how?", about: str = "") -> dict:
    """Only the part of a figure that opens: its rule, its source and its terms."""
    return {**_opened(record, context["shop"]), "label": label, "about": about}


def _opened(record: dict, shop) -> dict:
    return {
        "shown": value_in_words(record, shop),
        "rule": in_shop_words(record["rule"], shop.words),
        "source": record["source"],
        "terms": [
            {
                "name": term["name"],
                "shown": value_in_words(term["figure"], shop),
                "rule": term["figure"]["rule"],
                "terms": [
                    {"name": inner["name"], "shown": value_in_words(inner["figure"], shop)}
                    for inner in term["figure"]["terms"]
                ],
            }
            for term in record["terms"]
        ],
    }


@register.inclusion_tag("components/field.html", takes_context=True)
def field(context, bound: forms.BoundField, extra: str = "") -> dict:
    """A labelled field with its hint, its unit and its errors, tied together for whoever cannot see them."""
    suffix = getattr(bound.field, "suffix", "")
    described = [name for name, there in (("unit", suffix), ("hint", bound.help_text), ("error", True)) if there]
    attrs = {"aria-describedby": " ".join(f"{bound.auto_id}_{name}" for name in described)}
    if bound.errors:
        attrs["aria-invalid"] = "true"
    widget = bound.field.widget
    return {
        "bound": bound,
        "label": shop_words(context, bound.label),
        "hint": shop_words(context, bound.help_text),
        "errors": [shop_words(context, words) for words in bound.errors],
        "input": bound.as_widget(attrs=attrs),
        "suffix": suffix,
        "is_check": isinstance(widget, forms.CheckboxInput),
        "extra": extra,
    }


@register.inclusion_tag("components/error_summary.html", takes_context=True)
def form_errors(context, form: forms.Form) -> dict:
    lines = form.summary() if form.is_bound else []
    return {"lines": [{**line, "message": shop_words(context, line["message"])} for line in lines]}


@register.inclusion_tag("components/form_keys.html", takes_context=True)
def form_keys(context, form: forms.Form) -> dict:
    """The form's one-use key and the edit version it was opened at, with the token against forgery."""
    version = form.data.get("edit_version") if form.is_bound else form.fields["edit_version"].initial
    return {"csrf_token": context["csrf_token"], "key": form.fresh_key(), "edit_version": version or ""}


@register.simple_tag
def new_key() -> str:
    """A one-use key for a form of one button."""
    return secrets.token_urlsafe(24)


@register.simple_tag
def drawing(svg: str) -> SafeString:
    """A drawing made by the planner, whose every text is escaped where it is written."""
    return mark_safe(svg)


@register.filter
def plain(value: object, places: int = 2) -> str:
    """A number without needless noughts; a dash where nothing is known."""
    return "–" if value is None else plain_number(Fraction(str(value)), places)


@register.inclusion_tag("components/one_button.html", takes_context=True)
def one_button(
    context, to: str, key: object, words: str, name: str = "", value: str = "", look: str = "secondary", about: str = ""
) -> dict:
    """A form of one button with its own one-use key."""
    return {
        "csrf_token": context["csrf_token"],
        "action": reverse(to, args=[key]),
        "key": secrets.token_urlsafe(24),
        "words": words,
        "name": name,
        "value": value,
        "look": look,
        "about": about,
    }


@register.filter
def hours(minutes: object) -> str:
    return plain_number(Fraction(int(str(minutes)), 60), 1)
