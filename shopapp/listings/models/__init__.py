"""Finished pieces, what they cost and where they are, how they are offered, sold, sent and shown."""

from .fairs import Fair, FairHours
from .offers import Channel, Listing, ListingEvent, Offering
from .papers import CardWords, PiecePaper
from .parcels import Parcel, ParcelEvent
from .pieces import Piece, PieceCost, PieceEvent, PiecePhoto
from .public import Enquiry, PhotoSize, ShopPage
from .sales import Expense, Sale, SaleChange

__all__ = [
    "CardWords",
    "Channel",
    "Enquiry",
    "Expense",
    "Fair",
    "FairHours",
    "Listing",
    "ListingEvent",
    "Offering",
    "Parcel",
    "ParcelEvent",
    "PhotoSize",
    "Piece",
    "PieceCost",
    "PieceEvent",
    "PiecePaper",
    "PiecePhoto",
    "Sale",
    "SaleChange",
    "ShopPage",
]
