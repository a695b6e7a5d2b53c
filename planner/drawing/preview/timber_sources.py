"""What the values of each timber rest on, group by group; where nothing published was found, that is said."""

from __future__ import annotations

from types import MappingProxyType

RINGS = "from memory of boards in the trade, contrast set by eye; no source"
PORES = (
    "arrangement and texture as in the table of woods; diameter, number and length from memory, inside the class of"
    " that texture (IAWA list of microscopic features for hardwood identification, 1989, features 40 to 43)"
)
RAYS = "size from memory, contrast and share set by eye; no source"
FIGURE = "from memory, set by eye; no source"
SPREAD = "between strips of one delivery, by eye; common practice, no source"

_CITED = "H. G. Richter, K. Gembruch, G. Koch, CITESwoodID (delta-intkey.com)"
_HANDBOOK_607 = "M. Chudnoff, Tropical Timbers of the World, Agriculture Handbook 607 (a copy, docslib.org/doc/1928358)"

_PUBLISHED = MappingProxyType(
    {
        "padauk": {
            "pores": f"diameter 0.115 to 0.295, mean 0.23 mm, 1 to 4 a mm²: {_CITED}; length and depth from memory",
            "rays": f"narrow, commonly lower than 1 mm: {_CITED}",
            "figure": f"interlocked: {_CITED}; how strongly it shows by eye",
            "rings": f"boundaries indistinct or absent: {_CITED}; bands of streaks by eye",
        },
        "mahogany": {
            "pores": f"diameter 0.09 to 0.255, mean 0.16 mm, 2 to 18 a mm²: {_CITED}; length and depth from memory",
            "rings": f"boundaries distinct, narrow bands of marginal parenchyma: {_CITED}; width and contrast by eye",
            "figure": f"interlocked or not: {_CITED}; how strongly it shows by eye",
        },
        "sapele": {
            "figure": f"interlocked, a narrow even stripe on quartered faces: {_HANDBOOK_607}; width and tone by eye",
        },
        "oak-white": {
            "rays": "on the average considerably higher than red oak's: S. J. Record, Identification of the Economic"
            " Woods of the United States (1919), p. 27; sizes from memory, contrast by eye",
        },
        "oak-northern-red": {
            "rays": "on the average considerably lower than white oak's: S. J. Record, Identification of the Economic"
            " Woods of the United States (1919), p. 27; sizes from memory, contrast by eye",
        },
    }
)


def sources_of(wood_id: str) -> tuple[tuple[str, str], ...]:
    """For each group of values of a timber what it rests on."""
    usual = {"rings": RINGS, "pores": PORES, "rays": RAYS, "figure": FIGURE, "streaks": FIGURE, "spread": SPREAD}
    return tuple({**usual, **_PUBLISHED.get(wood_id, {})}.items())
