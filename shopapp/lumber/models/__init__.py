"""Woods as this maker has them, the stock of them, and the consumables beside it."""

from .counting import Stocktake, StocktakeCount
from .labels import LabelSheet
from .stock import (
    Delivery,
    Demand,
    Lot,
    StockEntry,
    StockMove,
    StockPiece,
    Supplier,
    TicketPhoto,
)
from .supplies import Supply, SupplyEntry
from .woods import ColourPhoto, WoodColour, WoodOnHand

__all__ = [
    "ColourPhoto",
    "Delivery",
    "Demand",
    "LabelSheet",
    "Lot",
    "StockEntry",
    "StockMove",
    "StockPiece",
    "Stocktake",
    "StocktakeCount",
    "Supplier",
    "Supply",
    "SupplyEntry",
    "TicketPhoto",
    "WoodColour",
    "WoodOnHand",
]
