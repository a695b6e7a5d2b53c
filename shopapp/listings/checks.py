"""For `manage.py verify`: pieces, listings and sales that are not what their entries make them."""

from __future__ import annotations

from django.db.models import F, Q

from .models import Expense, Listing, ListingEvent, Parcel, ParcelEvent, Piece, PieceEvent, Sale, SaleChange


def listings_told_wrongly() -> list[str]:
    """Listed pieces that are not what their newest event says."""
    newest: dict[int, str] = dict(ListingEvent.objects.order_by("pk").values_list("listing_id", "state"))
    return [
        f"Listing {pk} is {state}, its events say {newest.get(pk, 'nothing')}."
        for pk, state in Listing.objects.values_list("pk", "state")
        if newest.get(pk) != state
    ]


def pieces_told_wrongly() -> list[str]:
    """Pieces that are not where their newest event says, or sold without a sale, or the other way about."""
    newest: dict[int, str] = dict(PieceEvent.objects.order_by("pk").values_list("piece_id", "where"))
    faults = []
    for pk, where, sale, sold_piece in Piece.objects.values_list("pk", "where", "sale", "sale__piece"):
        if newest.get(pk) != where:
            faults.append(f"Piece {pk} is {where}, its events say {newest.get(pk, 'nothing')}.")
        if sale is not None and sold_piece != pk:
            faults.append(f"The sale that stands of piece {pk} is of piece {sold_piece}.")
        if where == Piece.Where.SOLD and sale is None:
            faults.append(f"Piece {pk} is sold, and no sale of it stands.")
        if sale is not None and where not in _WITH_A_SALE:
            faults.append(f"Piece {pk} is {where}, and a sale of it stands.")
    return faults


def parcels_told_wrongly() -> list[str]:
    """Parcels that are not as far as their newest event says."""
    newest: dict[int, str] = dict(ParcelEvent.objects.order_by("pk").values_list("parcel_id", "state"))
    return [
        f"Parcel {pk} is {state}, its events say {newest.get(pk, 'nothing')}."
        for pk, state in Parcel.objects.values_list("pk", "state")
        if newest.get(pk) != state
    ]


# Sold, on its way to whoever bought it, or lying damaged until somebody says what becomes of the sale.
_WITH_A_SALE = (Piece.Where.SOLD, Piece.Where.SENT, Piece.Where.DAMAGED, Piece.Where.GONE)


def sales_that_do_not_add_up() -> list[str]:
    """Sales whose net and tax are not their gross, of which more went back than was paid, or that stand though they
    ended."""
    faults = [f"Sale {pk}: net and tax are not what was paid." for pk in _unequal()]
    back: dict[int, list] = {}
    for sale, gross, kind, amount in SaleChange.objects.values_list("sale", "sale__gross", "kind", "back"):
        row = back.setdefault(sale, [gross, 0, False])
        row[1] += amount
        row[2] = row[2] or kind != SaleChange.Kind.REDUCED
    faults += [f"Sale {pk}: {given} went back of {gross}." for pk, (gross, given, _) in back.items() if given > gross]
    standing = set(Piece.objects.exclude(sale=None).values_list("sale", flat=True))
    faults += [f"Sale {pk} ended, and its piece is still sold by it." for pk in sorted(standing) if _ended(back, pk)]
    return faults


def _unequal() -> list[int]:
    sums = Sale.objects.values_list("pk", "net", "tax_sum", "gross", "price", "carriage", "tax_included")
    return [
        pk
        for pk, net, tax, gross, price, carriage, included in sums
        if net + tax != gross or price + carriage != (gross if included else net)
    ]


def _ended(back: dict[int, list], pk: int) -> bool:
    return pk in back and back[pk][2]


def expenses_undone_wrongly() -> list[str]:
    """What takes an expense back, or what was given back of a sale, is its opposite."""
    wrong = Expense.objects.filter(~Q(undoes=None)).exclude(amount=-F("undoes__amount"))
    faults = [f"Expense {pk} is not the opposite of what it takes back." for pk in wrong.values_list("pk", flat=True)]
    wrong = SaleChange.objects.filter(~Q(undoes=None)).exclude(
        back=-F("undoes__back"), back_tax=-F("undoes__back_tax"), sale=F("undoes__sale")
    )
    return faults + [f"Change {pk} of a sale is not the opposite of what it takes back."
                     for pk in wrong.values_list("pk", flat=True)]  # fmt: skip
