"""Money is expected from the moment a deal is made until it is called off; what was agreed stays as it was agreed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, transaction

from shopapp.payments import deals
from shopapp.payments.actions import MoneyMoved, expect, stop_expecting
from shopapp.payments.models import Account, AccountEvent
from shopapp.payments.readers import standing, standings
from shopapp.people.models import Member
from tests.support.money import deal


def test_a_deal_is_found_by_its_key_and_a_key_of_no_kind_or_number_leads_nowhere(monkeypatch):
    monkeypatch.setattr(deals, "_KINDS", {})
    deals.register("quote", {12: deal()}.get)
    assert deals.deal_of("quote 12") == deal()
    for key in ("quote 13", "quote", "", "quote twelve", "quote -1", "gift 12", f"quote {'9' * 30}", "quote ١٢"):
        assert deals.deal_of(key) is None, key


def test_what_is_owed_is_what_was_agreed_and_the_deposit_its_share(db):
    account = expect(None, deal())
    assert (account.gross, account.deposit) == (Decimal("772.00"), Decimal("386.00"))
    assert account.agreed == deal().lines
    how = standing("quote 12")
    assert (how.owed, how.deposit, how.paid, how.open) == (Decimal(772), Decimal(386), 0, Decimal(772))
    assert not how.deposit_is_in and not how.invoices
    assert how.words == "Nothing is paid yet. A deposit of €\u00a0386.00 is asked before wood is bought."
    assert standing("quote 13") is None


def test_where_no_deposit_is_asked_none_is_waited_for(db):
    expect(None, deal(deposit=0))
    assert standing("quote 12").deposit_is_in
    assert standing("quote 12").words == "Nothing is paid yet."


def test_expected_twice_it_is_owed_once_and_another_sum_is_refused(db):
    first = expect(None, deal())
    assert expect(None, deal()) == first and AccountEvent.objects.count() == 1
    with pytest.raises(MoneyMoved, match=r"772\.00 is expected"):
        expect(None, deal(carriage=Decimal(0)))


def test_called_off_nothing_more_is_owed_and_taken_up_again_it_is(db):
    account = expect(None, deal())
    assert stop_expecting(None, "quote 13", "Nothing there.") is None
    stop_expecting(None, "quote 12", "Heron was called off.")
    assert stop_expecting(None, "quote 12", "Twice.") is None
    how = standing("quote 12")
    assert how.stopped and how.owed == 0 and how.words == "It was called off."
    assert expect(None, deal()) == account
    assert standing("quote 12").owed == Decimal(772)
    assert [event.kind for event in account.events.all()] == ["expected", "stopped", "expected"]


def test_several_deals_stand_by_their_keys_in_as_many_queries_as_one(db, django_assert_num_queries):
    for number in range(3):
        expect(None, deal(key=f"quote {number}"))
    with django_assert_num_queries(3):
        assert set(standings([f"quote {n}" for n in range(5)])) == {"quote 0", "quote 1", "quote 2"}
    with django_assert_num_queries(3):
        standing("quote 1")


def test_a_helper_expects_no_money_and_calls_none_off(db):
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    with pytest.raises(PermissionDenied):
        expect(joss, deal())
    with pytest.raises(PermissionDenied):
        stop_expecting(joss, "quote 12", "No.")


@pytest.mark.storage
def test_the_database_refuses_to_change_what_was_agreed(db):
    account = expect(None, deal())
    for change in ({"gross": Decimal(1)}, {"key": "quote 13"}, {"deposit": Decimal(2)}):
        with pytest.raises(DatabaseError), transaction.atomic():
            Account.objects.filter(pk=account.pk).update(**change)
    with pytest.raises(DatabaseError), transaction.atomic():
        account.events.all().delete()
    Account.objects.update(for_whom="somebody whose name was taken away")
