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
_DUST = "Dust {effect}. Extraction at the machine and a mask; some people react after years without."
_EFFECTS = {
    "iroko": "irritates and sensitises skin, eyes and lungs, strongly",
    "teak": "can sensitise skin, eyes and lungs",
    "walnut-black": "can sensitise skin and eyes",
    "beech": "can sensitise skin, eyes and lungs; nasal cancer is linked to long exposure",
    "birch-yellow": "can sensitise the lungs",
    "oak-white": "can sensitise skin and eyes",
    "oak-northern-red": "can sensitise skin and eyes",
    "purpleheart": "has made workers feel sick",
    "padauk": "can sensitise skin, eyes and lungs",
    "wenge": "can sensitise skin, eyes and lungs; its splinters are reported slow to heal",
    "mahogany": "can sensitise skin and lungs",
    "elm-american": "can irritate skin and eyes",
}
# Every wood: Group 1 of IARC (vol. 62, 1995; vol. 100C, 2012).
ANY_WOOD_DUST = Caution(
    "dust",
    "Hardwood dust is a known cause of nasal cancer. Extract at each machine, never sweep or blow dry, wear a "
    "mask for sanding, and keep to the limits of local rules.",
    "IARC Monographs, volume 100C (2012)",
)
_FOOD_MODEL_CODE = "FDA Food Code 4-101.17, a model code for food businesses"
_POPULAR = "popular advice, no regulation found"
_OPEN_PORES = {"oak-northern-red", "ash-white", "hickory-true", "elm-american", "wenge", "iroko"}
_EXTRACTIVES = {"iroko", "teak", "padauk", "purpleheart", "wenge"}
_SOFT = {"basswood", "yellow-poplar", "alder-red"}
_TRADE = {"mahogany": "Swietenia macrophylla", "khaya": "Khaya", "padauk": "African Pterocarpus"}
FOOD_USES = {"serving", "trivet"}


def cautions_of(wood_id: str, bonding: str) -> tuple[Caution, ...]:
    """What to know about a wood whatever is made of it."""
    found = []
    if effect := _EFFECTS.get(wood_id):
        found.append(Caution("dust", _DUST.format(effect=effect), _CHART))
    if bonding == "with difficulty":
        found.append(
            Caution(
                "bonding",
                "Bonds with difficulty: glue freshly machined faces, try a joint, follow the adhesive's sheet.",
                "Wood Handbook, FPL-GTR-190, Table 10-1",
            )
        )
    if wood_id == "padauk":
        found.append(
            Caution(
                "colour",
                "Its dust stains lighter woods beside it: vacuum before any finish and try the finish on an offcut.",
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
    if wood_id != "maple-hard":
        found.append(
            Caution(
                "food",
                "The model food code names hard maple and “an equivalently hard, close-grained wood”, without a list. "
                "For a food business ask the local authority.",
                _FOOD_MODEL_CODE,
            )
        )
    if wood_id in _OPEN_PORES:
        found.append(Caution("food", "Open pores hold residue; usually advised against where food lies.", _POPULAR))
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
