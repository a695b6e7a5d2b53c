from django.apps import AppConfig


class ListingsConfig(AppConfig):
    name = "shopapp.listings"
    verbose_name = "Listings"

    def ready(self) -> None:
        from shopapp.common.ledger import protect
        from shopapp.common.verification import register

        from .models import Listing, ListingEvent
        from .readers import listings_told_wrongly

        protect(ListingEvent)
        protect(Listing, against=("delete",))
        register("Listed pieces are what their events make them", listings_told_wrongly)
