"""What somebody may send to a form's address that is no form of ours."""

from __future__ import annotations

from django.http.multipartparser import MultiPartParserError
from django.test import RequestFactory

GARBAGE = b"\xff\xfe{garbage"
KINDS = ("application/json", "text/plain", "multipart/form-data", "multipart/form-data; boundary=x")


def read_as(content: bytes, kind: str) -> str:
    """What the framework makes of it, before any view has it."""
    sent = RequestFactory().generic("POST", "/", content, content_type=kind)
    try:
        return f"{sent.POST} {sent.FILES}"
    except MultiPartParserError as error:
        return str(error)


def kinds_apart() -> list[str]:
    """One of each of ``KINDS`` that is read as something else: views that keep to what the framework read, as ours do
    (tests/rules/test_views_keep_to_the_form.py), have no way to answer two that are read alike otherwise."""
    return list({read_as(GARBAGE, kind): kind for kind in reversed(KINDS)}.values())
