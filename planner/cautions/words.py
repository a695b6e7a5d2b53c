"""The sentences, each with where it was read, or that it was not."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from planner.errors import PlannerError
from planner.woods import ANY_WOOD_DUST, Caution

_COMMON = "common practice, no source"
_BOARD_OF_FOOD = "FDA Food Code 4-101.17, a model code for food businesses; 21 CFR 172.878 and 178.3620(a)"


_ALL = (
    Caution(
        "machine_manual",
        "The machine’s own manual comes before anything written here, and so do local rules; what they keep for "
        "licensed hands is left to those. Do no cut you are not sure of.",
        _COMMON,
    ),
    Caution(
        "small_parts",
        "Small parts: cut tiles from a strip held by sled and hold-down, never by fingers, with a stand-off so "
        "that neither tile nor offcut lies loose between blade and stop. Stop the saw, and let the blade come "
        "to rest, before clearing. Guard and riving knife on; the saw’s manual comes first.",
        "small work guided, clamped or pushed with a stick: ILO code on machinery, 14.1.8 to 14.1.10; sled, "
        "hold-down and stand-off: common practice",
    ),
    Caution(
        "short_stock",
        "Nothing shorter than the machine’s manual allows goes over a jointer or through a planer: short work "
        "dips past the table’s lip and is thrown back. Mill it longer, or sand it.",
        "HSE planer advice, another way for short pieces, and WIS17, as quoted at ukworkshop.co.uk",
    ),
    Caution(
        "kickback",
        "Kickback: guard and riving knife on, the straight edge along the fence, a push stick well "
        "before the cut ends, nobody in line behind the blade. The fence is never a stop for a crosscut.",
        "29 CFR 1910.213(c), hood and spreader (from memory; summary legalclarity.org); a site rule citing HSE "
        "WIS16 (shevisualstandards.morgansindall.com)",
    ),
    ANY_WOOD_DUST,
    Caution(
        "irritant_woods",
        "One of these woods can irritate or sensitise skin, eyes or lungs, some people only after years: cover "
        "up, extract, wash. What is known of each stands beside it in the plan.",
        "HSE WIS30, Toxic woods (studylib.net/doc/10755218); chart, American Woodturner, June 1990",
    ),
    Caution(
        "glue_sheet",
        "The adhesive’s data sheet comes first: open and assembly time, least temperature, clamping, gloves "
        "and air, and what it is sold for.",
        _COMMON,
    ),
    Caution(
        "glue_temperature",
        "Colder than the data sheet allows the glue turns to chalk and does not hold: warm wood, glue and shop "
        "through before it is spread.",
        "the adhesive’s data sheet; chalking from memory",
    ),
    Caution(
        "hard_to_bond",
        "One of these woods bonds with difficulty, or no class of it was published: glue freshly machined "
        "faces, try a joint first, follow the adhesive’s sheet.",
        "Wood Handbook, FPL-GTR-190, Table 10-1",
    ),
    Caution(
        "bleeding_woods",
        "One of these woods stains lighter ones beside it: vacuum before any finish, and try the finish on an offcut.",
        "from memory",
    ),
    Caution(
        "finish_sheet",
        "The finish’s data sheet comes first: air and gloves, what it may be laid on, and how long until the "
        "board may be used.",
        _COMMON,
    ),
    Caution(
        "oily_rags",
        "Rags wet with drying or hard-wax oil, and pads and dust with it, heat themselves and catch fire within "
        "hours: never in a heap or a bin. Spread them flat outdoors, away from buildings, until they are hard, "
        "or keep them under water in a closed metal tin. The finish’s data sheet and the local fire service "
        "come first.",
        "NFPA, Safety with Oily Rags, tip sheet, 2017 (nfpa.org); Buckinghamshire Fire and Rescue, 25 September "
        "2020 (bucksfire.gov.uk)",
    ),
    Caution(
        "nut_oil",
        "A finish of walnut or another nut oil is made of a listed tree nut: say so to whoever gets the board, "
        "and call no board free of allergens.",
        "FDA, Questions and answers on food allergens, edition 5, Appendix I (pennstatefoodsafety.blogspot.com)",
    ),
    Caution(
        "food_contact",
        "Food may lie on it. The model food code names hard maple “or an equivalently hard, close-grained wood” "
        "and lists no others; white mineral oil that meets 21 CFR 172.878 may be part of what touches food. "
        "Neither approves a board: for a food business ask the local authority.",
        _BOARD_OF_FOOD,
    ),
    Caution(
        "heat",
        "Hot pots stand on it: heat softens some glues and marks some finishes. Their data sheets say how much "
        "they bear; try an offcut.",
        _COMMON,
    ),
    Caution(
        "hanging",
        "It is made to hang, not for food. Fixing and wall each carry only so much: weigh the board, and go by "
        "what the fixing’s maker says of the wall it is in.",
        _COMMON,
    ),
)

WORDS: Mapping[str, Caution] = MappingProxyType({caution.kind: caution for caution in _ALL})


def caution_of(kind: str) -> Caution:
    """The caution of that kind. Raises PlannerError for one there is none of.

    >>> caution_of("glue_temperature").source
    'the adhesive’s data sheet; chalking from memory'
    """
    if kind not in WORDS:
        raise PlannerError(f"There is no caution about “{kind}”.", mend=f"Choose one of {', '.join(WORDS)}.")
    return WORDS[kind]
