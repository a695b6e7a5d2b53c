"""Woods as this maker has them, and the stock of them."""

from .stock import (
    Consumable,
    ConsumableEntry,
    Delivery,
    Demand,
    Lot,
    StockEntry,
    StockMove,
    StockPiece,
    Supplier,
    TicketPhoto,
)
from .woods import ColourPhoto, WoodColour, WoodOnHand

__all__ = [
    "ColourPhoto",
    "Consumable",
    "ConsumableEntry",
    "Delivery",
    "Demand",
    "Lot",
    "StockEntry",
    "StockMove",
    "StockPiece",
    "Supplier",
    "TicketPhoto",
    "WoodColour",
    "WoodOnHand",
]
