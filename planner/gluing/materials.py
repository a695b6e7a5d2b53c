"""What the maker's own data sheets and bench say of gluing and finishing: records, in minutes as the sheets have them.

Nothing here is a default of ours but where a docstring says so; what a shop has not written down it is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.measures import Length


@dataclass(frozen=True, slots=True)
class Adhesive:
    """``open`` minutes from spreading to closing, ``assembly`` from first spread to full pressure, ``clamped`` under
    pressure; ``machining`` and ``sanding`` from the end of clamping until a joint may be worked so.
    ``lowest_celsius`` is None where the sheet names none."""

    name: str
    open: int
    assembly: int
    clamped: int
    machining: int
    sanding: int
    lowest_celsius: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Finish:
    """``raisings`` times the grain is raised with water, dries ``raised_dries`` minutes, is sanded; each of ``coats``
    soaks ``soak`` minutes and is wiped or buffed no later than ``wipe_within`` after it was laid on; the next follows
    ``recoat`` minutes after the wiping. ``cure`` minutes until full cure, None where it never cures (mineral oil).
    ``drying``: its rags can heat themselves."""

    name: str
    raisings: int
    raised_dries: int
    coats: int
    soak: int
    wipe_within: int
    recoat: int
    cure: int | None
    drying: bool


@dataclass(frozen=True, slots=True)
class Clamps:
    """``count`` clamps alike that open to ``reach``."""

    name: str
    count: int
    reach: Length


@dataclass(frozen=True, slots=True)
class RowJigs:
    """``count`` jigs alike that take a row up to ``longest``."""

    name: str
    count: int
    longest: Length


@dataclass(frozen=True, slots=True)
class GlueShop:
    """Who and what there is for gluing. ``row_clamps`` a row in its jig takes, ``clamp_every`` the most that clamps
    stand apart along a wider joint; ``widest_flattened`` the widest blank the shop can flatten."""

    people: int
    jigs: tuple[RowJigs, ...]
    clamps: tuple[Clamps, ...]
    bench_places: int
    row_clamps: int
    clamp_every: Length
    widest_flattened: Length


@dataclass(frozen=True, slots=True)
class Around:
    """What stands before the first cut and after the last buffing. Days are whole days of waiting; minutes take hands.
    ``in_hand``: the wood is here and settled, so buying and settling are left out."""

    in_hand: bool
    buying_days: int
    settling_days: int
    rest_days: int
    photographs: int
    packing: int
    carrier_days: int
