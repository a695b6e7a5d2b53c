"""Which names of an address a page looks for: one that it never asks about makes no other page of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.http import QueryDict


@contextmanager
def names_looked_for() -> Iterator[set[str]]:
    """The names that are looked for meanwhile; where all that stand in an address are gone through, `EVERY` as well."""
    names: set[str] = set()

    class Noted(QueryDict):
        def __init__(self, *arguments, **named):
            super().__init__(*arguments, **named)
            # Reading the address in looks for each name it has.
            names.clear()

        def __getitem__(self, name):
            names.add(name)
            return super().__getitem__(name)

        def __contains__(self, name):
            names.add(name)
            return super().__contains__(name)

        def getlist(self, name, default=None):
            names.add(name)
            return super().getlist(name, default)

        def __iter__(self):
            names.add(EVERY)
            return super().__iter__()

        def keys(self):
            names.add(EVERY)
            return super().keys()

        def lists(self):
            names.add(EVERY)
            return super().lists()

    with pytest.MonkeyPatch.context() as patch:
        # Where the framework reads an address, and nothing else.
        patch.setattr("django.core.handlers.wsgi.QueryDict", Noted)
        yield names


EVERY = "every name"
