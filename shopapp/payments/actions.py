"""Money that is expected, and no longer."""

from __future__ import annotations

import json

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.templatetags.shop import money
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from .deals import Deal
from .models import Account, AccountEvent
from .planning import sums_of_deal

Kind = AccountEvent.Kind


class MoneyMoved(PlannerError):
    """What is owed is not as the page that was open thought."""


def account_of(deal: Deal) -> Account:
    """What would be owed for a deal, not in the book yet. Raises PlannerError where the deal cannot be reckoned."""
    sums = sums_of_deal(deal)
    return Account(
        key=deal.key,
        label=deal.label[:160],
        person=deal.person,
        for_whom=deal.for_whom,
        lines=json.dumps([[line.words, line.count, str(line.each)] for line in deal.lines], ensure_ascii=False),
        carriage=deal.carriage,
        tax=deal.tax,
        tax_included=deal.tax_included,
        deposit_share=deal.deposit,
        gross=sums.gross,
        deposit=sums.deposit,
        currency_symbol=deal.currency_symbol,
        currency_exponent=deal.currency_exponent,
        home=deal.home,
    )


def expect(who: Member | None, deal: Deal) -> Account:
    """Money is owed for ``deal`` from now on; to be called in the transaction that agrees it. Expected once more, as
    after it had been called off, it is the same account.

    Raises PlannerError where another sum was agreed under the same key, or the deal cannot be reckoned.
    """
    owner_only(who)
    agreed = account_of(deal)
    with transaction.atomic():
        account = Account.objects.select_for_update().filter(key=deal.key).first()
        if account is None:
            account, agreed.made_by = agreed, who
            account.save()
        elif (account.gross, account.currency_symbol) != (agreed.gross, agreed.currency_symbol):
            raise MoneyMoved(
                f"{money(account.gross, account)} is expected for {account.label} already.",
                mend="Make another quote for what comes on top.",
            )
        elif not is_stopped(account):
            return account
        expect_again(who, account)
    return account


def expect_again(who: Member | None, account: Account) -> AccountEvent:
    """That an account's money is expected, from now on or once more; to be called in a transaction that holds it."""
    asked = f", {money(account.deposit, account)} of it as a deposit" if account.deposit else ""
    return _tell(who, account, Kind.EXPECTED, f"{money(account.gross, account)} is owed for {account.label}{asked}.")


def stop_expecting(who: Member | None, key: str, words: str) -> AccountEvent | None:
    """No more is expected for the deal of ``key``, and why; what was paid stays in the book. Nothing happens where
    nothing is expected. To be called in the transaction that calls it off."""
    owner_only(who)
    with transaction.atomic():
        account = Account.objects.select_for_update().filter(key=key).first()
        if account is None or is_stopped(account):
            return None
        return _tell(who, account, Kind.STOPPED, words)


def is_stopped(account: Account) -> bool:
    newest = account.events.order_by("-pk").values_list("kind", flat=True).first()
    return newest == Kind.STOPPED


def _tell(who: Member | None, account: Account, kind: str, words: str) -> AccountEvent:
    event = AccountEvent.objects.create(account=account, kind=kind, who=who, words=words[:400])
    write_audit(who, words, account)
    return event
