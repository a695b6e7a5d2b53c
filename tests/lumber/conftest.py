"""A wood on hand, as the tests of lumber begin with."""

from __future__ import annotations

import pytest

from shopapp.lumber.models import WoodOnHand
from shopapp.people.models import Member
from tests.support.shop import add_woods


@pytest.fixture
def helper_client(client, db):
    """The browser session of somebody who helps in the shop."""
    client.force_login(Member.objects.create_user("joss", password="x"))
    return client


@pytest.fixture
def sapele(db) -> WoodOnHand:
    add_woods("sapele", "walnut-black")
    return WoodOnHand.objects.get(wood="sapele")
