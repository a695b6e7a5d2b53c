"""When somebody is in the shop, what those hours are promised to, and how long work took."""

from .hours import Booking, SessionException, ShopSession
from .log import TimeEntry

__all__ = ["Booking", "SessionException", "ShopSession", "TimeEntry"]
