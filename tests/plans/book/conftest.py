"""Books printed once for all tests of what they say."""

from __future__ import annotations

import pytest

from tests.support.book_boards import CASES, Printed, printed_anew


@pytest.fixture
def printed(request, owner, once) -> Printed:
    """The book of one of ``CASES``, by its name; a paper takes seconds."""
    return once(f"shop book: {request.param}", lambda: printed_anew(owner, CASES[request.param]))
