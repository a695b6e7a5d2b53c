"""Minutes and prices of details are the maker's to write; what is as it was assumed is no entry of theirs."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from shopapp.common.models import AuditLine
from shopapp.workshop.planning import shop_of
from shopapp.workshop.readers import the_workshop
from tests.workshop.test_settings import send


def test_what_is_written_reaches_the_planner_and_is_told(owner_client):
    assert send(owner_client, "details", minutes_feet="1/3", price_feet="0.35").status_code == 302
    assert shop_of(the_workshop()).details == (("feet", Fraction(1, 3), Decimal("0.35")),)
    told = list(AuditLine.objects.values_list("what", flat=True))
    assert any("“Feet” changed from 3 min apiece to 1/3 min apiece, set by hand." in line for line in told)
    assert any("“Feet” changed from € 0.80 a piece to € 0.35 a piece, set by hand." in line for line in told)


def test_written_back_it_is_the_assumption_again(owner_client):
    send(owner_client, "details", minutes_feet="5")
    assert shop_of(the_workshop()).details
    send(owner_client, "details", minutes_feet="3")
    assert shop_of(the_workshop()).details == ()


def test_less_than_nought_is_refused_and_nothing_kept(owner_client):
    answer = send(owner_client, "details", minutes_mark="-1")
    assert answer.status_code == 422 and answer.context["form"].errors["minutes_mark"]
    assert shop_of(the_workshop()).details == ()
