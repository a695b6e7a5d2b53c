"""Inputs of one line, boxes for text and lists to choose from, written as the framework's own templates write them,
byte for byte (`tests/common/test_widgets.py`). Those are three templates an input and two an option, and took a quarter
of what opening a page of many fields takes. Every other widget is left to its template."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import Any

from django.forms.renderers import DjangoTemplates
from django.utils.formats import localize
from django.utils.safestring import SafeData
from django.utils.timezone import template_localtime

FOLDER = "django/forms/widgets/"
OPTION = f"{FOLDER}select_option.html"
Widget = dict[str, Any]


class Renderer(DjangoTemplates):
    def render(self, template_name: str, context: dict[str, Any], request: object = None) -> str:
        write = WRITTEN.get(template_name)
        written = write(context["widget"]) if write else None
        return super().render(template_name, context, request) if written is None else written


def _said(value: object) -> str:
    """``{{ value|stringformat:'s' }}``"""
    words = str(value)
    return words if isinstance(value, SafeData) else escape(words)


def _shown(value: object) -> str:
    """``{{ value }}``"""
    return _said(value if isinstance(value, str) else localize(template_localtime(value)))


def _attrs(widget: Widget) -> str:
    said = (
        f" {_said(name)}" if value is True else f' {_said(name)}="{_said(value)}"'
        for name, value in widget["attrs"].items()
        if value is not False
    )
    return "".join(said)


def _input(widget: Widget) -> str:
    value = "" if widget["value"] is None else f' value="{_said(widget["value"])}"'
    return f'<input type="{_said(widget["type"])}" name="{_shown(widget["name"])}"{value}{_attrs(widget)}>'


def _textarea(widget: Widget) -> str:
    words = _shown(widget["value"]) if widget["value"] else ""
    return f'<textarea name="{_shown(widget["name"])}"{_attrs(widget)}>\n{words}</textarea>'


def _option(option: Widget) -> str:
    return f'<option value="{_said(option["value"])}"{_attrs(option)}>{_shown(option["label"])}</option>'


def _select(widget: Widget) -> str | None:
    """Nothing where an option has a template of its own."""
    said = [f'<select name="{_shown(widget["name"])}"{_attrs(widget)}>']
    for group, options, _ in widget["optgroups"]:
        if any(option["template_name"] != OPTION for option in options):
            return None
        said += [f'\n  <optgroup label="{_shown(group)}">'] if group else []
        said += [f"\n  {_option(option)}\n" for option in options]
        said += ["\n  </optgroup>"] if group else []
    return "".join([*said, "\n</select>"])


_KINDS_OF_INPUT = ("text", "number", "email", "url", "date", "time", "password", "hidden", "checkbox", "file")
WRITTEN: dict[str, Callable[[Widget], str | None]] = {
    **{f"{FOLDER}{kind}.html": _input for kind in _KINDS_OF_INPUT},
    f"{FOLDER}textarea.html": _textarea,
    f"{FOLDER}select.html": _select,
}
