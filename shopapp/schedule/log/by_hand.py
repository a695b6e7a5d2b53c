"""A time that was set by hand is given up for what the log says."""

from __future__ import annotations

from collections.abc import Callable

from shopapp.people.models import Member
from shopapp.workshop.actions import change_settings
from shopapp.workshop.readers import the_workshop

from .planning import operation_words


def forget_by_hand(*, who: Member, operation: str, seen_version: int, spend: Callable[[], None] = lambda: None) -> str:
    """What was done, in words. Raises EditConflict when the settings were changed meanwhile."""
    times = {key: time for key, time in the_workshop().times.items() if key != operation}
    change_settings(who=who, title="Hours", changes={"times": times}, seen_version=seen_version, spend=spend)
    return f"“{operation_words(operation)}” goes by your log again. Plans kept before stay as they were."
