"""The woods a maker may have, with their published properties, sources and cautions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from planner.errors import PlannerError
from planner.measures import round_half_up
from planner.woods.cautions import ANY_WOOD_DUST, Caution, cautions_of, food_cautions_of
from planner.woods.table import ROWS, Row

__all__ = ["ANY_WOOD_DUST", "WOODS", "Caution", "Wood", "cautions_for", "coefficient_from_shrinkage", "wood"]


@dataclass(frozen=True, slots=True)
class Wood:
    """One wood. Shrinkage in percent, green to ovendry; ``c_radial`` and ``c_tangential`` are the change of size
    per percent of moisture content, the larger of printed and derived where both are known; None where nothing
    was found. ``c_radial_printed`` and ``c_tangential_printed`` are as printed, None where no row was found.
    ``air_dry`` is a published range of density at 12 % in kilograms a cubic metre, where no specific gravity stands.
    ``finished_rgb`` is a stand-in for an oiled piece until the maker's own is measured."""

    id: str
    name: str
    common_name: str
    scientific_name: str
    sg_12: Fraction | None
    sg_green: Fraction | None
    shrink_radial: Fraction | None
    shrink_tangential: Fraction | None
    shrink_volumetric: Fraction | None
    c_radial: Fraction | None
    c_tangential: Fraction | None
    janka_lbf: int | None
    bonding: str
    pores: str
    finished_rgb: tuple[int, int, int]
    remarks: str
    sources: tuple[tuple[str, str], ...]
    cautions: tuple[Caution, ...]
    c_radial_printed: Fraction | None = None
    c_tangential_printed: Fraction | None = None
    air_dry: tuple[Fraction, Fraction] | None = None
    finished_rgb_is_stand_in: bool = True

    @property
    def c_radial_derived(self) -> Fraction | None:
        return _derived(self.shrink_radial)

    @property
    def c_tangential_derived(self) -> Fraction | None:
        return _derived(self.shrink_tangential)


def coefficient_from_shrinkage(shrinkage: Fraction) -> Fraction:
    """Change of size per percent of moisture content, from total shrinkage in percent: C = S / (3000 - 20 S).

    Valid from 6 to 14 % moisture content; reproduces Table 13-5 of the Wood Handbook (FPL-GTR-190) to its five
    decimals for single species, and not for its commercial groups.

    >>> round(coefficient_from_shrinkage(Fraction("4.8")), 5)
    Fraction(33, 20000)
    """
    return shrinkage / (3000 - 20 * shrinkage)


def _number(text: str) -> Fraction | None:
    return Fraction(text) if text else None


def _range(texts: tuple[str, str] | None) -> tuple[Fraction, Fraction] | None:
    return None if texts is None else (Fraction(texts[0]), Fraction(texts[1]))


def _derived(shrinkage: Fraction | None) -> Fraction | None:
    """To five decimals, as the handbook prints them; more would claim more than the data carry."""
    return None if shrinkage is None else Fraction(round_half_up(coefficient_from_shrinkage(shrinkage), 5))


def _larger(printed: str, shrinkage: str) -> Fraction | None:
    """Printed and derived coefficients rest on different data for some woods: plan with the larger movement."""
    both = (_number(printed), _derived(_number(shrinkage)))
    return max((one for one in both if one is not None), default=None)


def _wood(wood_id: str, row: Row) -> Wood:
    return Wood(
        id=wood_id,
        name=row["name"],
        common_name=row["common_name"],
        scientific_name=row["scientific_name"],
        sg_12=_number(row["sg_12"]),
        sg_green=_number(row["sg_green"]),
        shrink_radial=_number(row["shrink_radial_pct"]),
        shrink_tangential=_number(row["shrink_tangential_pct"]),
        shrink_volumetric=_number(row["shrink_volumetric_pct"]),
        c_radial=_larger(row["c_r_table"], row["shrink_radial_pct"]),
        c_tangential=_larger(row["c_t_table"], row["shrink_tangential_pct"]),
        janka_lbf=int(row["janka_lbf_12"]) if row["janka_lbf_12"] else None,
        bonding=row["bonding"],
        pores=row["pores"],
        finished_rgb=row["finished_rgb"],
        remarks=row["remarks"],
        sources=tuple(row["sources"].items()),
        cautions=cautions_of(wood_id, row["bonding"]),
        c_radial_printed=_number(row["c_r_table"]),
        c_tangential_printed=_number(row["c_t_table"]),
        air_dry=_range(row.get("air_dry_kg_m3")),
    )


WOODS: Mapping[str, Wood] = MappingProxyType({wood_id: _wood(wood_id, row) for wood_id, row in ROWS.items()})


def wood(wood_id: str) -> Wood:
    """The wood of that id. Raises PlannerError for one that is not in the table.

    >>> wood("walnut-black").scientific_name
    'Juglans nigra'
    """
    if wood_id not in WOODS:
        raise PlannerError(f"There is no wood called “{wood_id}” in the table.", mend="Choose one of those listed.")
    return WOODS[wood_id]


def cautions_for(found: Wood, use: str) -> tuple[Caution, ...]:
    """The cautions that belong beside a wood in a board of that use; food lies on any board but a wall one.

    >>> [caution.kind for caution in cautions_for(wood("basswood"), "serving")]
    ['food', 'food']
    """
    return found.cautions if use == "wall" else (*found.cautions, *food_cautions_of(found.id))
