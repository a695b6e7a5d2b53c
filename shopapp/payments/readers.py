"""How a deal stands: what is owed and paid for it, as whoever agreed it shows it on a page of theirs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from shopapp.common.templatetags.shop import money

from .balances import Balance, balances_of
from .models import Account, AccountEvent, Invoice


@dataclass(frozen=True)
class Standing:
    """``owed`` is all that is to be paid for it, ``paid`` what came in less what was given back. ``deposit_is_in`` also
    where none is asked. ``words`` say it in a sentence or two."""

    key: str
    account_pk: int
    label: str
    owed: Decimal
    deposit: Decimal
    paid: Decimal
    stopped: bool
    invoices: tuple[Balance, ...]
    currency_symbol: str
    currency_exponent: int

    @property
    def deposit_is_in(self) -> bool:
        return self.paid >= self.deposit

    @property
    def open(self) -> Decimal:
        return max(self.owed - self.paid, Decimal(0))

    @property
    def to_give_back(self) -> Decimal:
        return max(self.paid - self.owed, Decimal(0))

    @property
    def asks_for(self) -> str:
        """What the address of a new invoice calls it."""
        return self.key.replace(" ", "-", 1)

    @property
    def has_final(self) -> bool:
        """Whether an invoice for the whole or the rest stands."""
        return _has_final(self.invoices)

    @property
    def words(self) -> str:
        return " ".join(_words(self))


def standing(key: str) -> Standing | None:
    """How the deal of ``key`` stands, or nothing where no money is expected for it. Five queries at most."""
    return standings([key]).get(key)


def standings(keys: Sequence[str]) -> dict[str, Standing]:
    """The same of several deals, in as many queries as of one."""
    accounts = {account.pk: account for account in Account.objects.filter(key__in=keys)}
    if not accounts:
        return {}
    newest = dict(AccountEvent.objects.filter(account__in=accounts).order_by("pk").values_list("account", "kind"))
    of_account: dict[int, list[Balance]] = {pk: [] for pk in accounts}
    for balance in balances_of(Invoice.objects.filter(account__in=accounts).order_by("pk")):
        of_account[balance.invoice.account_id].append(balance)
    stopped = AccountEvent.Kind.STOPPED
    return {
        account.key: standing_of(account, tuple(of_account[pk]), stopped=newest.get(pk) == stopped)
        for pk, account in accounts.items()
    }


def standing_of(account: Account, invoices: tuple[Balance, ...], *, stopped: bool) -> Standing:
    """What is owed is what was agreed until an invoice for all of it, or for the rest, says otherwise; once it is
    called off, no more than what was invoiced and not credited. The deposit is what was agreed until an invoice of it
    stands, and never more than is owed."""
    asked = sum((balance.asked for balance in invoices), Decimal(0))
    owed = asked if stopped or _has_final(invoices) else max(account.gross, asked)
    deposits = [one.asked for one in invoices if one.invoice.kind == Invoice.Kind.DEPOSIT and not one.is_cancelled]
    return Standing(
        key=account.key,
        account_pk=account.pk,
        label=account.label,
        owed=owed,
        deposit=min(sum(deposits, Decimal(0)) if deposits else account.deposit, owed),
        paid=sum((balance.paid for balance in invoices), Decimal(0)),
        stopped=stopped,
        invoices=invoices,
        currency_symbol=account.currency_symbol,
        currency_exponent=account.currency_exponent,
    )


def _has_final(invoices: tuple[Balance, ...]) -> bool:
    return any(one.invoice.kind != Invoice.Kind.DEPOSIT and not one.is_cancelled for one in invoices)


def _words(how: Standing) -> list[str]:
    words = []
    if how.stopped:
        words.append("It was called off.")
        if how.to_give_back:
            words.append(f"{money(how.to_give_back, how)} was paid for it and is to be given back.")
        elif how.paid > 0:
            words.append(
                f"{money(how.paid, how)} was paid for it; what of that goes back is said by a credit note for its "
                "invoice."
            )
        elif how.owed:
            words.append(f"{money(how.owed, how)} was invoiced and is not paid; a credit note takes that away.")
        return words
    if how.to_give_back:
        words.append(f"{money(how.to_give_back, how)} more was paid than is owed; it is to be given back.")
    elif not how.open:
        words.append("All of it is paid." if how.owed else "Nothing is owed for it.")
    elif how.paid <= 0:
        words.append("Nothing is paid yet.")
    else:
        words.append(f"{money(how.paid, how)} is paid, {money(how.open, how)} is open.")
    if how.deposit and how.open:
        if how.deposit_is_in:
            words.append("The deposit is in.")
        else:
            words.append(f"A deposit of {money(how.deposit, how)} is asked before wood is bought.")
    return words
