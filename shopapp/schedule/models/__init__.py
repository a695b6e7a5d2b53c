"""When somebody is in the shop, and what those hours are promised to."""

from .hours import Booking, SessionException, ShopSession

__all__ = ["Booking", "SessionException", "ShopSession"]
