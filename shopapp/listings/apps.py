from django.apps import AppConfig


class ListingsConfig(AppConfig):
    name = "shopapp.listings"
    verbose_name = "Listings"

    def ready(self) -> None:
        from shopapp.common.ledger import protect
        from shopapp.common.verification import register

        from .models import Listing, ListingEvent
        from .part import take_part
        from .readers import listings_told_wrongly

        # What an erasure may take away: to whom a piece went. Who of the book that was may be said later.
        protect(ListingEvent, but=("to_whom", "words", "plain_words", "person"))
        protect(Listing, against=("delete",))
        take_part()
        register("Listed pieces are what their events make them", listings_told_wrongly)
