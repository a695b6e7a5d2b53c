"""A wood on hand, as the tests of lumber begin with."""

from __future__ import annotations

import pytest

from shopapp.lumber.models import WoodOnHand
from tests.support.shop import add_woods


@pytest.fixture
def sapele(db) -> WoodOnHand:
    add_woods("sapele", "walnut-black")
    return WoodOnHand.objects.get(wood="sapele")
