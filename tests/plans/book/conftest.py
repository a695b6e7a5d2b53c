"""Books printed once for all tests of what they say."""

from __future__ import annotations

import pytest

from tests.support.book_boards import CASES, Printed, printed_anew

# A paper takes seconds.
_PRINTED: dict[str, Printed] = {}


@pytest.fixture
def printed(request, owner) -> Printed:
    """The book of one of ``CASES``, by its name."""
    name = request.param
    if name not in _PRINTED:
        _PRINTED[name] = printed_anew(owner, CASES[name])
    return _PRINTED[name]
