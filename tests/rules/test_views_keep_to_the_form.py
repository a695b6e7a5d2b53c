"""Views keep to what the framework read of what was sent: what it reads alike, they cannot answer otherwise."""

from __future__ import annotations

import re

from django.conf import settings

from tests.support.no_form import GARBAGE, KINDS, kinds_apart, read_as

PAST = re.compile(
    r"request\.(body|read|readlines?|content_type|content_params)\b"
    r"|(headers|META)(\.get\(|\[).(Content-Type|CONTENT_TYPE)"
)


def test_no_view_looks_past_what_was_read():
    assert PAST.search("kind = request.headers.get('Content-Type')") and PAST.search("json.loads(request.body)")
    views = sorted((settings.BASE_DIR / "shopapp").rglob("*.py"))
    assert views and [file for file in views if PAST.search(file.read_text())] == []


def test_what_is_no_form_is_read_as_one_without_fields_or_as_a_broken_one():
    without, broken = sorted({read_as(GARBAGE, kind) for kind in KINDS}, key=len, reverse=True)
    assert without == read_as(b"", "application/x-www-form-urlencoded") and "Invalid boundary" in broken
    assert {read_as(GARBAGE, kind) for kind in kinds_apart()} == {without, broken}
