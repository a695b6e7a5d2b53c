"""Where the cut plan and the evenings of one board tell of the same cuts otherwise, as both their pages are told it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .models import sign_of_read


@dataclass(frozen=True)
class Unlike:
    """``cuts`` are rough lengths, by board, that are not ticked on the cut plan although the evenings say that all is
    crosscut; ``steps`` those of the evenings, key and words, that are not ticked although every rough length is. One of
    both is empty. ``to`` is where one is ticked after the other."""

    label: str
    to: str
    cuts: Sequence[tuple[str, tuple[str, ...]]] = ()
    steps: Sequence[tuple[str, str]] = ()

    @property
    def rough(self) -> list[str]:
        return [name for _, names in self.cuts for name in names]

    @property
    def seen(self) -> str:
        """What whoever presses has read."""
        told = [[mark, list(names)] for mark, names in self.cuts], [key for key, _ in self.steps]
        return sign_of_read(told)
