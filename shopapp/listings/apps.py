from django.apps import AppConfig


class ListingsConfig(AppConfig):
    name = "shopapp.listings"
    verbose_name = "Listings"

    def ready(self) -> None:
        from shopapp.common.images import keep_incoming_of
        from shopapp.common.ledger import protect
        from shopapp.common.tidying import register as tidied
        from shopapp.common.verification import register

        from . import checks
        from .enquiries import part as enquiries
        from .fairs.checks import hours_that_do_not_add_up, papers_that_are_not_as_asked
        from .models import (
            CardWords,
            Channel,
            Enquiry,
            Expense,
            Fair,
            FairHours,
            Listing,
            ListingEvent,
            Parcel,
            ParcelEvent,
            Piece,
            PieceCost,
            PieceEvent,
            Sale,
            SaleChange,
            ShopPage,
        )
        from .part import take_part
        from .pieces.photos.actions import photos_awaited, tidy_photos
        from .selling import commissions, deals

        # What an erasure may take away: to whom a piece went. Who of the book that was may be said later.
        protect(ListingEvent, but=("to_whom", "words", "plain_words", "person"))
        protect(PieceEvent, but=("person", "to_whom", "words", "plain_words"))
        protect(PieceCost)
        protect(FairHours)
        protect(Sale, but=("person", "to_whom", "words"))
        protect(SaleChange, but=("words",))
        protect(Expense, but=("words", "why"))
        protect(ParcelEvent, but=("words",))
        for kept in (Listing, Piece, Channel, Fair, Parcel, Enquiry, ShopPage, CardWords):
            protect(kept, against=("delete",))
        take_part()
        deals.take_part()
        commissions.take_part()
        keep_incoming_of(photos_awaited)
        tidied(tidy_photos)
        register("Listed pieces are what their events make them", checks.listings_told_wrongly)
        register("Pieces are where their events say, and sold by a sale that stands", checks.pieces_told_wrongly)
        register("Sales add up and end once", checks.sales_that_do_not_add_up)
        register("Parcels are as far as their events say", checks.parcels_told_wrongly)
        register("What selling cost is taken back by its opposite", checks.expenses_undone_wrongly)
        enquiries.take_part()
        register("Hours at fairs are those of their days", hours_that_do_not_add_up)
        register("Cards and labels are what was asked for", papers_that_are_not_as_asked)
