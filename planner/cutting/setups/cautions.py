"""The usual cautions of each kind of set-up. They clear nothing: the machine's own manual comes before all of them."""

from __future__ import annotations

from planner.cutting.setups.terms import Caution

_COMMON = "common practice, no source; the machine's manual comes first"
_STILL = Caution("Reach for nothing near the blade until it stands still.", _COMMON)
_MANUAL = Caution(
    "The machine's manual comes before this sheet: where they differ, follow the manual, and do not make a cut you "
    "are not sure of.",
    "common practice, no source",
)
_DUST = Caution(
    "Extract the dust at the machine; wear eye and ear protection.",
    "wood dust causes cancer of the nasal cavity (IARC 2012, haz-map.com/Agents/674); the rest common practice",
)
_GUARD = Caution(
    "Blade guard and riving knife in place, blade sharp and just higher than the wood.",
    "29 CFR 1910.213(c): hood over the blade, spreader (from memory; summary legalclarity.org)",
)
_SLED = Caution(
    "Riving knife in place, the blade sharp and just higher than the wood, a guard on the sled over the blade and "
    "where it comes out behind.",
    _COMMON,
)
_PUSH_BLOCKS = Caution(
    "Push blocks in both hands, the cutter guard down on the wood; never a hand over the knives.",
    "HSE, planer safety and WIS17, as quoted at ukworkshop.co.uk; 29 CFR 1910.213(j) (docest.com)",
)
_CROSSCUT = (
    Caution(
        "The fence is never a stop for a crosscut: a piece between fence and blade is caught and thrown. Where the "
        "fence has to give the measure, a clearance block on it ends well before the blade.",
        _COMMON,
    ),
    Caution(
        "Wood held by the sled's hold-down, never by fingers; hands 75 mm (3 in) from any guard at the least.",
        "a teacher's rules, thecraftsmanspath.com (2009); hold-downs common practice",
    ),
)

CAUTIONS: dict[str, tuple[Caution, ...]] = {
    "rough": (
        Caution("Support the board on both sides of the cut, and leave the end that falls off free to fall.", _COMMON),
        Caution("Look the board over for nails, grit and loose knots before it meets a blade.", _COMMON),
        _STILL,
        _DUST,
        _MANUAL,
    ),
    "joint": (_PUSH_BLOCKS, _DUST, _MANUAL),
    "resaw": (
        Caution(
            "Guide lowered to just above the wood, a tall fence, a push stick for the end of the cut: the blade comes "
            "out of the wood where the hand would be.",
            _COMMON,
        ),
        _STILL,
        _DUST,
        _MANUAL,
    ),
    "plane": (
        Caution(
            "Stand beside the feed, not behind it; never look into the machine or reach for wood between its rollers.",
            _COMMON,
        ),
        _DUST,
        _MANUAL,
    ),
    "rip": (
        _GUARD,
        Caution(
            "Push stick of 450 mm for the last 300 mm of every cut; hands never within 300 mm of the front of the "
            "blade; nobody in line behind it.",
            "site rule citing HSE WIS16 (shevisualstandards.morgansindall.com)",
        ),
        Caution("The straightened edge runs against the fence; nothing is ripped freehand.", _COMMON),
        _STILL,
        _DUST,
        _MANUAL,
    ),
    "gauge": (
        Caution(
            "Light passes; strips that chatter or are shorter than the machine's manual allows are sanded.", _COMMON
        ),
        _DUST,
        _MANUAL,
    ),
    "square": (_SLED, *_CROSSCUT, _STILL, _DUST, _MANUAL),
    "part": (
        _SLED,
        *_CROSSCUT,
        Caution(
            "A part that is cut off lies loose beside the blade: hold it down too, with the hold-down or a stick, or "
            "let the blade come to rest before the sled is drawn back.",
            _COMMON,
        ),
        _STILL,
        _DUST,
        _MANUAL,
    ),
}

BY_HAND = (
    Caution("A way by hand or on another machine has its own cautions: read its manual, clamp the work.", _COMMON),
    _MANUAL,
)
