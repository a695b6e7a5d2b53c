"""A piece sold on an invoice, as the ledger of money is told of it."""

from __future__ import annotations

from fractions import Fraction

from shopapp.listings.models import Piece, Sale, SaleChange
from shopapp.payments.deals import Deal, DealLine, register

KIND = "sold"


def next_key(piece: Piece) -> str:
    """The account of the next sale of a held piece. A piece that came back is sold on another account."""
    return f"{KIND} {piece.pk}{piece.sales.count() + 1:03d}"


def deal_of_sale(sale: Sale) -> Deal:
    return Deal(
        key=sale.account_key,
        label=f"{sale.piece}",
        person=sale.person,
        for_whom=sale.to_whom,
        lines=(DealLine(f"{sale.piece}", 1, sale.price),),
        carriage=sale.carriage,
        tax=sale.tax,
        tax_included=sale.tax_included,
        currency_symbol=sale.currency_symbol,
        currency_exponent=sale.currency_exponent,
        deposit=Fraction(0),
        home=sale.piece.get_absolute_url(),
    )


def _deal(number: int) -> Deal | None:
    """Of a sale that has not ended."""
    sales = Sale.objects.select_related("piece", "person").filter(account_key=f"{KIND} {number}")
    ended = SaleChange.objects.exclude(kind=SaleChange.Kind.REDUCED).values("sale")
    sale = sales.exclude(pk__in=ended).first()
    return None if sale is None else deal_of_sale(sale)


def take_part() -> None:
    register(KIND, _deal)
