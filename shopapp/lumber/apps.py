from django.apps import AppConfig


class LumberConfig(AppConfig):
    name = "shopapp.lumber"
    verbose_name = "Lumber"

    def ready(self) -> None:
        from shopapp.common import ledger, verification
        from shopapp.common.images import keep_incoming_of, show_only_to_the_owner
        from shopapp.common.tidying import register

        from .buying.tickets.actions import PURPOSE, tidy_tickets
        from .buying.tickets.readers import tickets_awaited
        from .colours.actions import tidy_photos
        from .colours.readers import faults_of_colours, photos_awaited
        from .counting.checks import worth_of_what_was_not_found
        from .models import (
            Delivery,
            Lot,
            StockEntry,
            StockMove,
            StockPiece,
            Stocktake,
            Supply,
            SupplyEntry,
            WoodColour,
        )
        from .stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
        from .supplies.checks import supplies_that_are_not_their_entries

        for model in (WoodColour, Delivery, Lot, StockEntry, StockMove, SupplyEntry):
            ledger.protect(model)
        for model in (StockPiece, Stocktake, Supply):
            ledger.protect(model, against=("delete",))
        keep_incoming_of(photos_awaited)
        keep_incoming_of(tickets_awaited)
        show_only_to_the_owner(PURPOSE)
        register(tidy_photos)
        register(tidy_tickets)
        verification.register("Every wood is shown in the newest of its colours", faults_of_colours)
        verification.register("Pieces on the rack are what their entries make them", pieces_that_are_not_their_moves)
        verification.register("No worth of wood came or went unseen", worth_that_came_or_went_unseen)
        verification.register("Consumables are what their entries make them", supplies_that_are_not_their_entries)
        verification.register("What was not found left with its worth", worth_of_what_was_not_found)
