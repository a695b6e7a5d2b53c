"""The parts a kept reckoning wants, with their copies and spares, at the sizes the saw gives them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from planner.build import SIDE, along_of, kind_words
from planner.cutting.fromshop.pieces import Wishes
from planner.cutting.spares import spares
from planner.measures import Length
from planner.shop import Shop


@dataclass(frozen=True, slots=True)
class Cut:
    """Pieces alike to crosscut. ``width`` and ``thickness`` are after gauging, ``over`` what the strip is ripped wider;
    ``count`` is for all boards, ``spares`` besides. ``pieces`` see ``planner.cutting.plan.Part``; ``length`` is then
    their sum with a kerf between each two. ``deep`` is how many rows of the picture are made as one in
    them; ``panel``: strips of panels, end grain up at last."""

    wood: str
    name: str
    width: Length
    over: Length
    thickness: Length
    length: Length
    count: int
    spares: int
    bound: str = ""
    pieces: tuple[Length, ...] = ()
    deep: int = 1
    panel: bool = False

    @property
    def ripped(self) -> Length:
        return self.width + self.over


def name_of(kind: str, tiles: int, along: str = "rows", deep: int = 1) -> str:
    """What a piece, ``deep`` rows of the picture wide, is called on the cut plan of a board whose rows run ``along``
    rows or columns of it.

    >>> name_of("run", 3), name_of("side border", 2), name_of("tile", 1), name_of("side border", 2, "columns")
    ('run of 3 tiles', 'side border with 2 tiles', 'tile', 'end border with 2 tiles')
    >>> name_of("run", 3, deep=2)
    'run of 3 tiles, 2 rows deep'
    """
    called = kind_words(kind, along)
    if kind.endswith(("run", "strip")) and tiles:
        called = f"{kind} of {tiles} tile{'s' if tiles > 1 else ''}"
    elif kind == SIDE and tiles:
        called = f"{called} with {tiles} tile{'s' if tiles > 1 else ''}"
    return called if deep == 1 else f"{called}, {deep} rows deep"


def cuts_in(record: Mapping[str, Any], shop: Shop, wishes: Wishes) -> tuple[Cut, ...]:
    """What ``record`` (see ``planner.record``) wants cut, wood by wood in its order. Pieces of one size are one cut,
    whatever they are called; spares are the fewest that leave enough good ones of each wood, width and length, as
    ``planner.cutting.lumber_need`` counts them. Of paired borders the spares stay single pieces."""
    copies = record["spec"]["quantity"]
    paired = _pairs(record) if wishes.pair_borders and not record.get("panels") else Counter()
    taken: Counter[int] = Counter()
    for (left, right), rows in paired.items():
        taken[left] += rows
        taken[right] += rows
    panels = bool(record.get("panels"))
    names: dict[tuple[Any, ...], list[str]] = {}
    counts: Counter[tuple[Any, ...]] = Counter()
    all_alike: Counter[tuple[Any, ...]] = Counter()
    deepest: dict[tuple[Any, ...], int] = {}
    for number, part in enumerate(record["parts"]):
        key = _key(part, wishes)
        deep = part.get("deep", 1)
        called = name_of(part["kind"], part["tiles"], along_of(record), deep)
        deepest[key] = max(deepest.get(key, 1), deep)
        if called not in names.setdefault(key, []):
            names[key].append(called)
        # Strips of panels are those for all copies, and have no spares: their slices do. What is cut again was spared.
        panel = part.get("for_all", False)
        counts[key] += (part["count"] - taken[number]) * (1 if panel else copies)
        all_alike[_size(key)] += 0 if panel or part.get("again", False) else part["count"] * copies
    extra = {size: spares(count, shop.spoil_rate, shop.spare_confidence) for size, count in all_alike.items()}
    found = []
    for key, alike in names.items():
        wood, width, over, thickness, length, bound = key
        # The spares of pieces cut alike are counted once, with the first of them.
        more = extra.pop(_size(key), 0)
        if counts[key] or more:
            called = " or ".join(sorted(alike, key=len))
            sizes = (width, over, thickness, length)
            found.append(Cut(wood, called, *sizes, counts[key], more, bound, deep=deepest[key], panel=panels))
    return (*found, *_as_cuts(paired, record, shop, wishes, copies))


def _size(key: tuple[Any, ...]) -> tuple[Any, ...]:
    return key[:-1]


def _key(part: Mapping[str, Any], wishes: Wishes) -> tuple[Any, ...]:
    ripped, gauged = part["stages"]["ripped"], part["stages"]["gauged"]
    length, wide, thickness = (Length.of_mm(text) for text in ripped)
    width = Length.of_mm(gauged[1])
    bound = part["kind"] if part["kind"] in wishes.one_board else ""
    return part["wood"], width, wide - width, thickness, length, bound


def _pairs(record: Mapping[str, Any]) -> Counter[tuple[int, int]]:
    """Rows with a side border at either end: (numbers of the two parts, the longer first): rows of one board."""
    found: Counter[tuple[int, int]] = Counter()
    parts = record["parts"]
    for row in record["laid"]:
        left, right = row["parts"][0], row["parts"][-1]
        if len(row["parts"]) > 1 and parts[left]["kind"] == parts[right]["kind"] == SIDE:
            by_length = sorted((left, right), key=lambda n: (-Length.of_mm(parts[n]["stages"]["ripped"][0]).mm, n))
            found[by_length[0], by_length[1]] += 1
    return found


def _as_cuts(
    paired: Counter[tuple[int, int]], record: Mapping[str, Any], shop: Shop, wishes: Wishes, copies: int
) -> list[Cut]:
    """A part for each size of pair; rows at the edge may be as wide as those within."""
    counts: Counter[tuple[Any, ...]] = Counter()
    for (longer, shorter), rows in paired.items():
        key = _key(record["parts"][longer], wishes)
        second = Length.of_mm(record["parts"][shorter]["stages"]["ripped"][0])
        counts[(*key, second, record["parts"][longer].get("deep", 1))] += rows * copies
    called = "left and right side border of a row" if along_of(record) == "rows" else "end borders of a row"
    return [
        Cut(wood, called, width, over, thickness, one + two + shop.crosscut_kerf, count, 0, bound, (one, two), deep)
        for (wood, width, over, thickness, one, bound, two, deep), count in counts.items()
    ]
