"""What would lower a price, as its page and the reckoning show it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

from planner.measures import Length, format_length
from shopapp.common.fields import plain_number
from shopapp.common.templatetags.shop import money, percent
from shopapp.designs.models import PatternVersion
from shopapp.designs.planning import Pattern
from shopapp.lumber.models import WoodOnHand
from shopapp.plans import otherwoods
from shopapp.plans.asked import asked_of_board
from shopapp.plans.forms import ALONG, METHODS
from shopapp.workshop.models import Workshop

from . import planning


@dataclass(frozen=True)
class ChangeSeen:
    """``words`` what is done, ``costs`` what that costs, each a sentence; ``address`` reckons it so."""

    change: planning.Change
    words: str
    costs: list[str]
    address: str


@dataclass(frozen=True)
class LoweredSeen:
    found: planning.Lowered
    changes: list[ChangeSeen]

    @property
    def first(self) -> list[ChangeSeen]:
        """The few that stand on the reckoning."""
        return self.changes[:4]


def lowered(
    version: PatternVersion, board: Mapping, workshop: Workshop, swaps: Mapping[str, str] | None = None
) -> LoweredSeen:
    """``version`` as it was kept; ``swaps`` what it is laid in. Raises PlannerError where the board cannot be
    reckoned by today's settings."""
    swaps = swaps or {}
    board = {"along": "rows", "asks": "margin", "details": (), **board}
    found = planning.lowered(otherwoods.drawing_in(version, swaps), board, workshop)
    names = dict(WoodOnHand.objects.values_list("wood", "name"))
    say = _Words(board, workshop, names)
    seen = [
        ChangeSeen(one, say.what(one), say.costs(one), _address(version, one, swaps, workshop)) for one in found.changes
    ]
    return LoweredSeen(found, seen)


def _address(version: PatternVersion, change: planning.Change, swaps: Mapping[str, str], workshop: Workshop) -> str:
    asked = asked_of_board(version, change.board, workshop)
    if laid := followed(Pattern.from_text(version.pattern).woods, swaps, change.laid):
        asked["laid"] = otherwoods.say(laid)
    return f"{reverse('plans:reckoning', args=[version.design_id])}?{urlencode(asked)}"


def followed(woods: Iterable[str], swaps: Mapping[str, str], laid: tuple[str, str]) -> dict[str, str]:
    """Which of a drawing's ``woods`` is laid in which at last, once what ``swaps`` have made of them is laid in
    another."""
    was, now = laid
    worn = {wood: swaps.get(wood, wood) for wood in woods}
    last = {wood: now if wears == was else wears for wood, wears in worn.items()}
    return {wood: wears for wood, wears in last.items() if wears != wood}


_NUMBERS = {2: "Two", 5: "Five", 10: "Ten"}


class _Words:
    def __init__(self, board: Mapping, workshop: Workshop, names: Mapping[str, str]) -> None:
        self.board, self.workshop, self.names = board, workshop, names

    def what(self, change: planning.Change) -> str:
        board, kind = change.board, change.kind
        if kind == "copies":
            return f"{_NUMBERS[board['quantity']]} boards at once"
        if kind == "way":
            rows = f", rows {dict(ALONG)[board['along']]}" if board["along"] != self.board["along"] else ""
            return f"Built as {dict(METHODS)[board['method']]}{rows}"
        if kind in ("smaller", "larger"):
            return f"{kind.capitalize()} tiles, {self._length(board['pitch'])}"
        if kind == "borders":
            return "Narrower borders, " + " and ".join(self._length(board[name]) for name in self._moved(board))
        if kind == "thinner":
            return f"{self._length(board['thickness'])} thick"
        if kind == "border":
            return f"Border and background in {self._name(board['border_wood'])}"
        was, now = change.laid
        if kind == "fewer":
            return f"One wood fewer: {self._name(now)} for {self._name(was)}"
        return f"{self._name(now)} for {self._name(was)}"

    def costs(self, change: planning.Change) -> list[str]:
        told = []
        if change.size is not None:
            told.append("The board becomes {} by {}.".format(*map(self._length, change.size)))
        if change.seam is not None:
            told.append(f"Long grain carries {percent(change.seam)} of its weakest seam.")
        if change.edges is not None:
            told.append(f"{plain_number(change.edges * 100, 0)} of 100 of the picture’s edges are kept.")
        if change.ahead is not None:
            told.append(f"{money(change.ahead, self.workshop)} is paid out before all are sold.")
        return [*told, *change.warnings]

    def _moved(self, board: Mapping) -> list[str]:
        return [name for name in ("side_border", "end_border") if board[name] != self.board[name]]

    def _length(self, length: Length) -> str:
        return format_length(length, self.workshop.unit)

    def _name(self, wood: str) -> str:
        return self.names.get(wood, wood)
