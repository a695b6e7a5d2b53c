"""A cut job and its plan as JSON, so that whoever did not write the planner can read and check them.

    {
      "form": "Kerfstead cut plan", "version": 1,
      "about": {"unit": "...", ...},                   what the keys mean, in words
      "unit": "1/64 in", "money": "1/10000 dollar",    what one of each is, in words
      "rules": {"crosscut_kerf": 6, ...},              the fields of ``Rules``
      "parts": [{"wood": ..., "width": ..., "thickness": ..., "length": ..., "count": ..., "name": ...}],
      "stock": [{"name": ..., "wood": ..., "width": ..., "length": ..., "yields": ..., "cost": ..., "worth": ...}],
      "plan": {"cost": ..., "boards_cost": ..., "credit": ...,
               "boards": [{"board": ..., "rough": [{"length": ..., "thickness": ...,
                           "strips": [{"width": ..., "parts": [[length, pieces], ...]}]}]}],
               "offcuts": [{"board": ..., "rough": ..., "kind": ..., "width": ..., "length": ..., "credit": ...}],
               "floors": [{"wood": ..., "floor": ..., "sizes": ..., "kinds": ..., "sections": ..., "leaves": ...}]}
    }

Every number is a whole one. ``plan`` may be left out. Keys that are not known are passed over; a larger version is
refused in words. Whoever changes what a key means raises ``VERSION`` and keeps reading the older ones.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields
from typing import Any

from planner.cutting.plan.terms import (
    BoardCut,
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
VERSION = 1
_MOST = 10**15
_LEAF = ("low", "high", "prices", "strips_low", "strips_high", "strip_prices")
_ABOUT = {
    "unit": "What one unit of every length, width and thickness is.",
    "money": "What one unit of every cost, worth and credit is.",
    "rules": "Kerfs, trims at each end and edge, snipe at each end, grip, longest length ripped (0: no limit), grid of "
    "ripped rough lengths, least offcut kept, area an offcut's worth is for, and what strips and parts are cut larger.",
    "parts": "Pieces wanted, at their sizes after gauging.",
    "stock": "Boards: yields is the greatest thickness milled from one, worth what worth_area of its offcuts is worth.",
    "plan": "From one end of a board to the other: rough lengths, the strips each is ripped into, [length, pieces] of "
    "each strip. A rough length without strips is kept whole. cost = boards_cost - credit.",
    "floors": "What no plan can undercut, with the prices that prove it in millionths of a money unit; a leaf is the "
    "plans that open low to high boards of each of the kinds and rip strips_low to strips_high strips of each section.",
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
        "parts": [asdict(part) for part in file.job.parts],
        "stock": [asdict(board) for board in file.job.stock],
    }
    if file.plan is not None:
        plan = file.plan
        told["plan"] = {
            "cost": plan.cost,
            "boards_cost": plan.boards_cost,
            "credit": plan.credit,
            "boards": [asdict(cut) for cut in plan.boards],
            "offcuts": [asdict(offcut) for offcut in plan.offcuts],
            "floors": [
                {"wood": f.wood, "floor": f.floor, **{k: v for k, v in asdict(f.prices).items() if k != "wood"}}
                for f in plan.floors
            ],
        }
    return json.dumps(told, ensure_ascii=False, indent=1)


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
    plan = _plan(_dict(told, "plan", "plan")) if told.get("plan") is not None else None
    return CutFile(
        CutJob(parts, stock, rules), plan, _text(told, "unit", "unit", ""), _text(told, "money", "money", "")
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


def _list(told: dict[str, Any], key: str, path: str) -> list[Any]:
    value = told.get(key)
    if not isinstance(value, list):
        raise _wrong(path, "a list")
    return value


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
    wood, name = _text(told, "wood", f"{path}.wood"), _text(told, "name", f"{path}.name", "")
    return Part(wood, width, thickness, length, count, name)


def _board(told: Any, path: str) -> StockBoard:
    told = _dict(told, None, path)
    width, length, yields = (_whole(told, key, f"{path}.{key}", least=1) for key in ("width", "length", "yields"))
    cost, worth = (_whole(told, key, f"{path}.{key}", default=0) for key in ("cost", "worth"))
    name, wood = _text(told, "name", f"{path}.name"), _text(told, "wood", f"{path}.wood")
    return StockBoard(name, wood, width, length, yields, cost, worth)


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
    spent = _whole(told, "boards_cost", f"{path}.boards_cost")
    return CutPlan(boards, offcuts, spent, _whole(told, "credit", f"{path}.credit"), floors)


def _each(told: dict[str, Any], key: str, path: str) -> list[tuple[str, dict[str, Any]]]:
    return [
        (f"{path}.{key}[{i}]", _dict(one, None, f"{path}.{key}[{i}]"))
        for i, one in enumerate(_list(told, key, f"{path}.{key}"))
    ]


def _cut(told: Any, path: str) -> BoardCut:
    told = _dict(told, None, path)
    return BoardCut(
        _text(told, "board", f"{path}.board"), tuple(_rough(one, at) for at, one in _each(told, "rough", path))
    )


def _rough(told: dict[str, Any], path: str) -> RoughCut:
    strips = tuple(
        StripCut(
            _whole(one, "width", f"{at}.width", least=1),
            tuple(_pair(pair, f"{at}.parts") for pair in _list(one, "parts", f"{at}.parts")),
        )
        for at, one in _each(told, "strips", path)
    )
    length = _whole(told, "length", f"{path}.length", least=1)
    return RoughCut(length, _whole(told, "thickness", f"{path}.thickness", default=0), strips)


def _pair(told: Any, path: str) -> tuple[int, int]:
    if not isinstance(told, list) or len(told) != 2:
        raise _wrong(path, "pairs of a length and a count")
    both = {"length": told[0], "count": told[1]}
    return _whole(both, "length", path, least=1), _whole(both, "count", path, least=1)


def _floor(told: dict[str, Any], path: str) -> WoodFloor:
    def numbers(value: Any, at: str) -> tuple[int, ...]:
        if not isinstance(value, list) or any(not isinstance(n, int) or isinstance(n, bool) for n in value):
            raise _wrong(at, "whole numbers")
        return tuple(value)

    wood = _text(told, "wood", f"{path}.wood")
    sizes = tuple(numbers(one, f"{path}.sizes") for one in _list(told, "sizes", f"{path}.sizes"))
    if any(len(one) != 3 for one in sizes):
        raise _wrong(f"{path}.sizes", "a width, a thickness and a length each")
    kinds = tuple(_names(one, f"{path}.kinds") for one in _list(told, "kinds", f"{path}.kinds"))
    sections = tuple(numbers(one, f"{path}.sections") for one in _list(told, "sections", f"{path}.sections"))
    if any(len(one) != 2 for one in sections):
        raise _wrong(f"{path}.sections", "a width and a thickness each")
    leaves = tuple(
        Leaf(*(numbers(one.get(key), f"{at}.{key}") for key in _LEAF)) for at, one in _each(told, "leaves", path)
    )
    ripped = tuple((one[0], one[1]) for one in sections)
    sized = tuple((one[0], one[1], one[2]) for one in sizes)
    return WoodFloor(wood, _whole(told, "floor", f"{path}.floor"), Prices(wood, sized, kinds, ripped, leaves))


def _names(told: Any, path: str) -> tuple[str, ...]:
    if not isinstance(told, list) or any(not isinstance(name, str) for name in told):
        raise _wrong(path, "names of boards")
    return tuple(told)
