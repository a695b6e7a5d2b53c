"""Woods as this maker has them, and the stock of them."""

from .stock import (
    Delivery,
    Demand,
    Lot,
    StockEntry,
    StockMove,
    StockPiece,
    Supplier,
)
from .woods import ColourPhoto, WoodColour, WoodOnHand

__all__ = [
    "ColourPhoto",
    "Delivery",
    "Demand",
    "Lot",
    "StockEntry",
    "StockMove",
    "StockPiece",
    "Supplier",
    "WoodColour",
    "WoodOnHand",
]
