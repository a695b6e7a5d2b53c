"""Cautions by wood: short, with their source, deferring to local codes and the data sheet, never a clearance."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """``kind`` is "dust", "food", "allergen", "bonding", "colour" or "trade"; ``source`` says where it was read."""

    kind: str
    words: str
    source: str


_CHART = "chart of toxic woods, American Woodturner, June 1990 (quest42.co.uk)"
_WOLFE = "Wolfe, Ohio State University (docslib.org/doc/1857862)"
_DUST = "Its dust {effect}. Extract at the machine and wear a mask; some people react only after years."
# Effects as the charts print them: irritant, sensitiser, nausea, pneumonitis; nothing is said of a wood not listed.
_EFFECTS = {
    "maple-hard": ("can sensitise the lungs where the wood is spalted", _CHART),
    "maple-soft": ("can sensitise the lungs where the wood is spalted", _CHART),
    "iroko": ("irritates and sensitises skin, eyes and lungs, strongly", _CHART),
    "teak": ("can sensitise skin, eyes and lungs", _CHART),
    "walnut-black": ("can sensitise skin and eyes", _CHART),
    "beech": ("can sensitise skin, eyes and lungs; nasal cancer is linked to it", _CHART),
    "birch-yellow": ("can sensitise the lungs", _CHART),
    "oak-white": ("can sensitise skin and eyes", _CHART),
    "oak-northern-red": ("can sensitise skin and eyes", _CHART),
    "purpleheart": ("has made workers feel sick", _CHART),
    "padauk": ("can sensitise skin, eyes and lungs, and is linked to asthma and nausea", f"{_CHART}; {_WOLFE}"),
    "wenge": (
        "can sensitise skin, eyes and lungs; splinters are reported slow to heal",
        f"{_CHART}; flindallguitars.com",
    ),
    "khaya": ("can irritate and sensitise; cancer of the nose and throat is linked to it, rarely", _WOLFE),
    "mahogany": ("can sensitise skin and lungs", _CHART),
    "elm-american": ("can irritate skin and eyes", _CHART),
}
# Every wood: Group 1 of IARC (vol. 62, 1995; vol. 100C, 2012).
ANY_WOOD_DUST = Caution(
    "dust",
    "Hardwood dust is a known cause of nasal cancer. Extract at each machine, never sweep or blow dry, wear a "
    "mask for sanding, and keep to the limits of local rules.",
    "IARC Monographs, volume 100C (2012)",
)
FOOD_MODEL_CODE = "FDA Food Code 4-101.17, a model code for food businesses"
_POPULAR = "popular advice, no regulation found"
_ANATOMY = "from memory, by the wood's anatomy; no regulation found"
_OPEN_PORES = {
    **dict.fromkeys(("oak-northern-red", "ash-white"), _POPULAR),
    **dict.fromkeys(("hickory-true", "elm-american", "wenge", "iroko"), _ANATOMY),
}
_EXTRACTIVES = {"iroko", "teak", "padauk", "purpleheart", "wenge"}
_BLEEDING = {"padauk", "osage-orange"}
_SOFT = {"basswood", "yellow-poplar", "alder-red"}
_TRADE = {"mahogany": "Swietenia macrophylla", "khaya": "Khaya", "padauk": "African Pterocarpus"}


def cautions_of(wood_id: str, bonding: str) -> tuple[Caution, ...]:
    """What to know about a wood whatever is made of it."""
    found = []
    if wood_id in _EFFECTS:
        effect, source = _EFFECTS[wood_id]
        found.append(Caution("dust", _DUST.format(effect=effect), source))
    if bonding == "with difficulty":
        found.append(
            Caution(
                "bonding",
                "Bonds with difficulty: glue freshly machined faces, try a joint, follow the adhesive's sheet.",
                "Wood Handbook, FPL-GTR-190, Table 10-1",
            )
        )
    if not bonding:
        found.append(
            Caution(
                "bonding",
                "No published bonding class was found: try a joint and follow the adhesive's sheet.",
                "not listed in the Wood Handbook, FPL-GTR-190, Table 10-1",
            )
        )
    if wood_id in _BLEEDING:
        found.append(
            Caution(
                "colour",
                "Its colour can bleed and its dust stain lighter woods beside it: vacuum before any finish and try "
                "the finish on an offcut.",
                "from memory",
            )
        )
    if wood_id == "walnut-black":
        found.append(
            Caution(
                "allergen",
                "Black walnut is named among tree nuts for food labels. Nothing found proves or rules out that wood "
                "carries the allergen: say that the board contains walnut wood.",
                "FDA, Questions and answers on food allergens, edition 5",
            )
        )
    if name := _TRADE.get(wood_id):
        found.append(
            Caution(
                "trade",
                f"{name} may need papers to cross a border (CITES); ask the seller and the authority first.",
                "from memory",
            )
        )
    return tuple(found)


def food_cautions_of(wood_id: str) -> tuple[Caution, ...]:
    """What to know when food will lie on the wood."""
    found = []
    if wood_id == "maple-hard":
        words = "The model food code names hard maple, which approves no single board."
    else:
        words = "The model food code names hard maple and “an equivalently hard, close-grained wood”, without a list."
    found.append(Caution("food", f"{words} For a food business ask the local authority.", FOOD_MODEL_CODE))
    if wood_id in _OPEN_PORES:
        words = "Open pores hold residue; usually advised against where food lies."
        found.append(Caution("food", words, _OPEN_PORES[wood_id]))
    if wood_id in _EXTRACTIVES:
        found.append(
            Caution(
                "food",
                "Irritant or sensitising substances; usually advised against where food lies.",
                _POPULAR,
            )
        )
    if wood_id in _SOFT:
        found.append(Caution("food", "Soft: it dents and scores easily in use.", "from memory"))
    return tuple(found)
