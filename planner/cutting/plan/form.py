"""A cut job and its plan as JSON, so that whoever did not write the planner can read and check them.

    {
      "form": "Kerfstead cut plan", "version": 2,
      "about": {"unit": "...", ...},                   what the keys mean, in words
      "unit": "1/64 in", "money": "1/10000 dollar",    what one of each is, in words
      "rules": {"crosscut_kerf": 6, ...},              the fields of ``Rules``
      "ways": [[wood, "face" | "edge" | "either"], ...],
      "parts": [{"wood": ..., "width": ..., "thickness": ..., "length": ..., "count": ..., "name": ...,
                 "shade": ..., "bound": ..., "pieces": [length, ...]}],
      "stock": [{"name": ..., "wood": ..., "width": ..., "length": ..., "yields": ..., "cost": ..., "worth": ...,
                 "shade": ..., "resawn": ..., "bad": [[from, to], ...], "offcut": true | false}],
      "plan": {"cost": ..., "boards_cost": ..., "credit": ..., "on_edge": [wood, ...],
               "bound_to": [[wood, bound, board], ...],
               "boards": [{"board": ..., "rough": [{"at": ..., "length": ..., "thickness": ..., "resawn": true | false,
                           "strips": [{"width": ..., "parts": [[length, pieces], ...],
                                       "pieces": [[[length, ...], times], ...]}],
                           "under": [strips of the second layer]}]}],
               "offcuts": [{"board": ..., "rough": ..., "kind": ..., "width": ..., "length": ..., "credit": ...}],
               "floors": [{"wood": ..., "floor": ..., "without": [...], "other": [proof, ...],
                           "way": ..., "sizes": ..., "shades": ..., "kinds": ..., "counted": ..., "leaves": ...}]}
    }

A proof is an object with the keys from "way" on. Every number is a whole one. ``plan`` may be left out. What each key
means is written beside the field of its name in ``planner.cutting.plan.terms``. Keys that are not known are passed
over; a larger version is refused in words. Whoever changes what a key means raises ``VERSION`` and keeps reading the
older ones. Version 1 did not say where a rough length begins: they lay one behind the other from the end trim, a kerf
between each two; what else version 2 added may be left out and is then as its field's default.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields, replace
from typing import Any

from planner.cutting.plan.clear import end_to_end
from planner.cutting.plan.terms import (
    BoardCut,
    Counted,
    CutJob,
    CutPlan,
    Leaf,
    Offcut,
    Part,
    Prices,
    RoughCut,
    Rules,
    StockBoard,
    StripCut,
    WoodFloor,
)
from planner.errors import PlannerError

FORM = "Kerfstead cut plan"
VERSION = 2
_MOST = 10**15
_LEAF = ("low", "high", "prices", "counts_low", "counts_high", "count_prices")
# What the last three were called in version 1, where strips were all that is counted.
_OLD_LEAF = (*_LEAF[:3], "strips_low", "strips_high", "strip_prices")
_ABOUT = {
    "unit": "What one unit of every length, width and thickness is.",
    "money": "What one unit of every cost, worth and credit is.",
    "rules": "Kerfs, trims at each end and edge, snipe at each end, grip, longest length ripped (0: no limit), grid of "
    "ripped rough lengths, least offcut kept, area an offcut's worth is for, what strips and parts are cut larger, and "
    "the shortest rough length, narrowest strip and thinnest milled.",
    "ways": "face: strips as wide as the parts. edge: strips as wide as the parts are thick, out of wood milled to "
    "the parts' width, then turned. either: the cheaper, one for all of the wood. A wood not named is ripped face up.",
    "parts": "Pieces wanted, at their sizes after gauging. shade: only boards of that shade. bound: all parts with "
    "that word from one board. pieces: what a part is cut apart into; its length is theirs and what is lost between.",
    "stock": "Boards: yields is the greatest thickness milled from one, resawn that of each of two layers (0: not "
    "resawn), worth what worth_area of its offcuts is worth (half of it for a layer's), bad what of its length is not "
    "used, from the end the tape is hooked on.",
    "plan": "From one end of a board to the other: rough lengths and where each begins, the strips each is ripped "
    "into, [length, count] of each strip, and which of those are cut apart into pieces. A rough length without strips "
    "is kept whole. Of one that is resawn, under is the second layer, kept whole where it has no strips. on_edge: "
    "woods whose strips are turned. bound_to: the board bound parts come from. cost = boards_cost - credit.",
    "floors": "What no plan can undercut, with the prices that prove it in millionths of a money unit; a leaf is the "
    "plans that open low to high boards of each of the kinds and have counts_low to counts_high (-1: any number) of "
    "each that is counted on rough lengths at least so long: these, edges or tails kept, strips of a section, lengths "
    "milled or resawn to a thickness. "
    "other proves the other way, where either may be taken; without names wishes the floor leaves out.",
}


class CutFormError(PlannerError):
    """A text that is not a cut job as this house writes it."""


@dataclass(frozen=True, slots=True)
class CutFile:
    """What a file holds: the job, its plan if there is one, and what its units are in words."""

    job: CutJob
    plan: CutPlan | None = None
    unit: str = ""
    money: str = ""


def to_json(file: CutFile) -> str:
    """The file as JSON text; ``from_json`` gives it back unchanged."""
    told: dict[str, Any] = {
        "form": FORM,
        "version": VERSION,
        "about": _ABOUT,
        "unit": file.unit,
        "money": file.money,
        "rules": asdict(file.job.rules),
        "ways": file.job.ways,
        "parts": [asdict(part) for part in file.job.parts],
        "stock": [asdict(board) for board in file.job.stock],
    }
    if file.plan is not None:
        plan = file.plan
        told["plan"] = {
            "cost": plan.cost,
            "boards_cost": plan.boards_cost,
            "credit": plan.credit,
            "on_edge": plan.on_edge,
            "bound_to": plan.bound_to,
            "boards": [asdict(cut) for cut in plan.boards],
            "offcuts": [asdict(offcut) for offcut in plan.offcuts],
            "floors": [
                {
                    "wood": one.wood,
                    "floor": one.floor,
                    "without": one.without,
                    "other": [_proof_told(prices) for prices in one.other],
                    **_proof_told(one.prices),
                }
                for one in plan.floors
            ],
        }
    return json.dumps(told, ensure_ascii=False, indent=1)


def _proof_told(prices: Prices) -> dict[str, Any]:
    return {key: value for key, value in asdict(prices).items() if key != "wood"}


def from_json(text: str) -> CutFile:
    """Read a file back. Raises CutFormError naming the key at fault and what it should hold; ``field`` is the key."""
    try:
        told = json.loads(text)
    except (ValueError, RecursionError):
        raise CutFormError("This is not JSON.", mend="Bring the file as it was written.", field="file") from None
    if not isinstance(told, dict) or told.get("form") != FORM:
        raise CutFormError(f'This is not a "{FORM}".', mend="Bring a file this house wrote.", field="form")
    version = _whole(told, "version", "version", least=1)
    if version > VERSION:
        raise CutFormError(
            f"The file is of version {version}; this house reads up to {VERSION}.",
            mend="Bring the house up to date, or write the file in the older form.",
            field="version",
        )
    rules = _rules(_dict(told, "rules", "rules"))
    parts = tuple(_part(one, f"parts[{i}]") for i, one in enumerate(_list(told, "parts", "parts")))
    stock = tuple(_board(one, f"stock[{i}]") for i, one in enumerate(_list(told, "stock", "stock")))
    if len({board.name for board in stock}) != len(stock):
        raise CutFormError("Two boards bear one name.", mend="Give every board its own.", field="stock")
    ways = tuple(_way(one, f"ways[{i}]") for i, one in enumerate(_list(told, "ways", "ways", [])))
    plan = None
    if told.get("plan") is not None:
        plan = _plan(_dict(told, "plan", "plan"))
        if version == 1:
            plan = replace(plan, boards=tuple(end_to_end(cut, rules) for cut in plan.boards))
    return CutFile(
        CutJob(parts, stock, rules, ways), plan, _text(told, "unit", "unit", ""), _text(told, "money", "money", "")
    )


def _wrong(path: str, should: str) -> CutFormError:
    return CutFormError(f"{path} should hold {should}.", mend="Mend the file and bring it again.", field=path)


def _whole(told: dict[str, Any], key: str, path: str, *, least: int = 0, default: int | None = None) -> int:
    value = told.get(key, default)
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= _MOST:
        raise _wrong(path, f"a whole number from {least}")
    return value


def _text(told: dict[str, Any], key: str, path: str, default: str | None = None) -> str:
    value = told.get(key, default)
    if not isinstance(value, str):
        raise _wrong(path, "a text")
    return value


def _list(told: dict[str, Any], key: str, path: str, default: list[Any] | None = None) -> list[Any]:
    value = told.get(key, default)
    if not isinstance(value, list):
        raise _wrong(path, "a list")
    return value


def _bool(told: dict[str, Any], key: str, path: str) -> bool:
    value = told.get(key, False)
    if not isinstance(value, bool):
        raise _wrong(path, "true or false")
    return value


def _texts(value: Any, path: str, should: str) -> tuple[str, ...]:
    if not isinstance(value, list) or any(not isinstance(one, str) for one in value):
        raise _wrong(path, should)
    return tuple(value)


def _numbers(value: Any, path: str) -> tuple[int, ...]:
    if not isinstance(value, list) or any(not isinstance(n, int) or isinstance(n, bool) for n in value):
        raise _wrong(path, "whole numbers")
    return tuple(value)


def _dict(told: Any, key: str | int | None, path: str) -> dict[str, Any]:
    value = told if key is None else told.get(key)
    if not isinstance(value, dict):
        raise _wrong(path, "an object")
    return value


def _rules(told: dict[str, Any]) -> Rules:
    one = {"grid", "worth_area"}
    needed = {"crosscut_kerf", "rip_kerf"}
    values = {
        f.name: _whole(
            told,
            f.name,
            f"rules.{f.name}",
            least=1 if f.name in one else 0,
            default=None if f.name in needed else (1 if f.name in one else 0),
        )
        for f in fields(Rules)
    }
    return Rules(**values)


def _part(told: Any, path: str) -> Part:
    told = _dict(told, None, path)
    width, thickness, length, count = (
        _whole(told, key, f"{path}.{key}", least=1) for key in ("width", "thickness", "length", "count")
    )
    wood = _text(told, "wood", f"{path}.wood")
    name, shade, bound = (_text(told, key, f"{path}.{key}", "") for key in ("name", "shade", "bound"))
    pieces = _numbers(told.get("pieces", []), f"{path}.pieces")
    if len(pieces) == 1 or min(pieces, default=1) < 1:
        raise _wrong(f"{path}.pieces", "two lengths or more, or none")
    return Part(wood, width, thickness, length, count, name, shade, bound, pieces)


def _way(told: Any, path: str) -> tuple[str, str]:
    both = _texts(told, path, "a wood and a way")
    if len(both) != 2 or both[1] not in ("face", "edge", "either"):
        raise _wrong(path, "a wood and one of face, edge, either")
    return both[0], both[1]


def _board(told: Any, path: str) -> StockBoard:
    told = _dict(told, None, path)
    width, length, yields = (_whole(told, key, f"{path}.{key}", least=1) for key in ("width", "length", "yields"))
    cost, worth = (_whole(told, key, f"{path}.{key}", default=0) for key in ("cost", "worth"))
    name, wood = _text(told, "name", f"{path}.name"), _text(told, "wood", f"{path}.wood")
    shade, resawn = _text(told, "shade", f"{path}.shade", ""), _whole(told, "resawn", f"{path}.resawn", default=0)
    bad = []
    for i, one in enumerate(_list(told, "bad", f"{path}.bad", [])):
        ends = _numbers(one, f"{path}.bad[{i}]")
        if len(ends) != 2 or not 0 <= ends[0] < ends[1]:
            raise _wrong(f"{path}.bad[{i}]", "where the bad wood begins and where it ends")
        bad.append((ends[0], ends[1]))
    offcut = _bool(told, "offcut", f"{path}.offcut")
    return StockBoard(name, wood, width, length, yields, cost, worth, shade, resawn, tuple(bad), offcut)


def _plan(told: dict[str, Any]) -> CutPlan:
    path = "plan"
    boards = tuple(_cut(one, f"{path}.boards[{i}]") for i, one in enumerate(_list(told, "boards", f"{path}.boards")))
    offcuts = tuple(
        Offcut(
            _text(one, "board", at),
            _whole(one, "rough", at),
            _text(one, "kind", at),
            *(_whole(one, key, f"{at}.{key}") for key in ("width", "length", "credit")),
        )
        for at, one in _each(told, "offcuts", path)
    )
    floors = tuple(_floor(one, at) for at, one in _each(told, "floors", path))
    spent, credit = (_whole(told, key, f"{path}.{key}") for key in ("boards_cost", "credit"))
    on_edge = _texts(told.get("on_edge", []), f"{path}.on_edge", "woods")
    bound_to = []
    for i, one in enumerate(_list(told, "bound_to", f"{path}.bound_to", [])):
        three = _texts(one, f"{path}.bound_to[{i}]", "a wood, a word and a board")
        if len(three) != 3:
            raise _wrong(f"{path}.bound_to[{i}]", "a wood, a word and a board")
        bound_to.append((three[0], three[1], three[2]))
    return CutPlan(boards, offcuts, spent, credit, floors, on_edge, tuple(bound_to))


def _each(
    told: dict[str, Any], key: str, path: str, default: list[Any] | None = None
) -> list[tuple[str, dict[str, Any]]]:
    return [
        (f"{path}.{key}[{i}]", _dict(one, None, f"{path}.{key}[{i}]"))
        for i, one in enumerate(_list(told, key, f"{path}.{key}", default))
    ]


def _cut(told: Any, path: str) -> BoardCut:
    told = _dict(told, None, path)
    return BoardCut(
        _text(told, "board", f"{path}.board"), tuple(_rough(one, at) for at, one in _each(told, "rough", path))
    )


def _rough(told: dict[str, Any], path: str) -> RoughCut:
    return RoughCut(
        _whole(told, "length", f"{path}.length", least=1),
        _whole(told, "thickness", f"{path}.thickness", default=0),
        tuple(_strip(one, at) for at, one in _each(told, "strips", path)),
        _whole(told, "at", f"{path}.at", default=0),
        _bool(told, "resawn", f"{path}.resawn"),
        tuple(_strip(one, at) for at, one in _each(told, "under", path, [])),
    )


def _strip(told: dict[str, Any], path: str) -> StripCut:
    pieces = []
    for i, one in enumerate(_list(told, "pieces", f"{path}.pieces", [])):
        at = f"{path}.pieces[{i}]"
        if not isinstance(one, list) or len(one) != 2:
            raise _wrong(at, "lengths, and how many times")
        pieces.append((_numbers(one[0], at), _whole({"times": one[1]}, "times", at, least=1)))
    width = _whole(told, "width", f"{path}.width", least=1)
    parts = tuple(_pair(pair, f"{path}.parts") for pair in _list(told, "parts", f"{path}.parts"))
    return StripCut(width, parts, tuple(pieces))


def _pair(told: Any, path: str) -> tuple[int, int]:
    if not isinstance(told, list) or len(told) != 2:
        raise _wrong(path, "pairs of a length and a count")
    both = {"length": told[0], "count": told[1]}
    return _whole(both, "length", path, least=1), _whole(both, "count", path, least=1)


def _floor(told: dict[str, Any], path: str) -> WoodFloor:
    wood = _text(told, "wood", f"{path}.wood")
    floor = _whole(told, "floor", f"{path}.floor")
    other = tuple(_proof(one, wood, at) for at, one in _each(told, "other", path, []))
    without = _texts(told.get("without", []), f"{path}.without", "wishes")
    return WoodFloor(wood, floor, _proof(told, wood, path), other, without)


def _proof(told: dict[str, Any], wood: str, path: str) -> Prices:
    sizes = tuple(_numbers(one, f"{path}.sizes") for one in _list(told, "sizes", f"{path}.sizes"))
    if any(len(one) != 3 for one in sizes):
        raise _wrong(f"{path}.sizes", "a width, a thickness and a length each")
    kinds = tuple(_texts(one, f"{path}.kinds", "names of boards") for one in _list(told, "kinds", f"{path}.kinds"))
    older = "sections" in told and "counted" not in told
    counted = _sections(told, path) if older else tuple(_counted(one, at) for at, one in _each(told, "counted", path))
    leaves = tuple(
        Leaf(*(_numbers(one.get(key), f"{at}.{key}") for key in (_OLD_LEAF if older else _LEAF)))
        for at, one in _each(told, "leaves", path)
    )
    shades = _texts(told.get("shades", []), f"{path}.shades", "shades")
    way = _text(told, "way", f"{path}.way", "face")
    sized = tuple((one[0], one[1], one[2]) for one in sizes)
    return Prices(wood, sized, kinds, counted, leaves, shades, way)


def _counted(told: dict[str, Any], path: str) -> Counted:
    width, thickness, length = (_whole(told, key, f"{path}.{key}") for key in ("width", "thickness", "length"))
    return Counted(_text(told, "what", f"{path}.what"), width, thickness, length)


def _sections(told: dict[str, Any], path: str) -> tuple[Counted, ...]:
    """The strips of sections an older proof counts."""
    sections = [_numbers(one, f"{path}.sections") for one in _list(told, "sections", f"{path}.sections")]
    if any(len(one) != 2 for one in sections):
        raise _wrong(f"{path}.sections", "a width and a thickness each")
    return tuple(Counted("strips", width, thickness, 0) for width, thickness in sections)
