"""What lies where, in words. Rows run from side to side, or stand upright; a border is called by where it hangs.

A board whose rows stand upright is built as the picture turned a quarter clockwise: its left column becomes row 1, the
top one on the bench, and every row begins at the picture's bottom.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

ALONG = ("rows", "columns")
ACROSS = "top or bottom border"
SIDE = "side border"
# Where the two ends of a row hang: the one it is laid from, and the other.
ENDS = {"rows": ("left", "right"), "columns": ("bottom", "top")}
# The borders at the ends of the rows, and those along them.
BORDERS = {
    "rows": ("side borders", "top and bottom borders"),
    "columns": ("top and bottom borders", "left and right borders"),
}
_TURNED = {ACROSS: "left or right border", SIDE: "end border"}


def along_of(record: Mapping[str, Any]) -> str:
    """What the rows of a kept record's board run along; records of before they could do otherwise do not say."""
    along: str = record.get("spec", {}).get("along", "rows")
    return along


def kind_words(kind: str, along: str = "rows") -> str:
    """What a part of that kind is called on a board whose rows run ``along`` rows or columns of the picture.

    >>> kind_words("top or bottom border"), kind_words("top or bottom border", "columns")
    ('top or bottom border', 'left or right border')
    """
    return _TURNED.get(kind, kind) if along == "columns" else kind


def part_words(part: Mapping[str, Any], along: str = "rows") -> str:
    """What a record's part is called, with how many tiles and rows of the picture are in it.

    >>> part_words({"kind": "side border", "tiles": 3, "deep": 2})
    'side border with 3 of background, 2 rows deep'
    """
    tiles, name = part["tiles"], kind_words(part["kind"], along)
    if part["kind"] == SIDE and tiles:
        name = f"{name} with {tiles} of background"
    if part["kind"].endswith(("run", "strip")) and tiles:
        name = f"{name} of {tiles}"
    deep = part.get("deep", 1)
    return name if deep == 1 else f"{name}, {deep} rows deep"


def seam_place(column: int, columns: int, along: str = "rows") -> str:
    """Where a seam lies, in words, on a picture whose rows are ``columns`` tiles long.

    >>> seam_place(0, 9), seam_place(4, 9)
    ('between the left border and the picture', 'between columns 4 and 5')
    >>> seam_place(9, 9, "columns"), seam_place(4, 9, "columns")
    ('between the picture and the top border', 'between tiles 4 and 5 from the bottom')
    """
    first, last = ENDS[along]
    if column == 0:
        return f"between the {first} border and the picture"
    if column == columns:
        return f"between the picture and the {last} border"
    if along == "columns":
        return f"between tiles {column} and {column + 1} from the bottom"
    return f"between columns {column} and {column + 1}"
