"""What may be said of a piece, drafted from its facts in plain words; the maker changes what they like."""

from __future__ import annotations

from planner.measures import Length
from shopapp.common.templatetags.shop import as_length, bare_length

from .models import Piece
from .pieces.facts import PieceFacts, WoodFact, facts

_FOR = {
    "wall": "to hang on a wall",
    "serving": "",
    "trivet": "for hot pots and pans to stand on",
    "knife": "to cut on",
}
_KIND = {"wall": "A picture board", "serving": "A serving board", "trivet": "A trivet", "knife": "A cutting board"}
TITLE_LENGTH, WORDS_LENGTH = 80, 1000


def draft_title(piece: Piece) -> str:
    """Its name and what it is: "Heron, a picture board of black walnut and American sycamore"."""
    told = facts(piece)
    kind = _KIND.get(told.use, "A wooden board")
    title = f"{piece.title}, {kind[0].lower()}{kind[1:]}"
    # All its woods where they have room, else none: part of them would be untrue.
    of = f"{title} of {_listed([one.name for one in told.woods])}"
    return of if told.woods and len(of) <= TITLE_LENGTH else title[:TITLE_LENGTH]


def draft_words(piece: Piece, unit: str) -> str:
    """Sentences of what is known, and of nothing else: what it is, of which woods, how large and heavy, how finished,
    how it is looked after, and what is warned of."""
    told = facts(piece)
    said = [_what(told), _size(told, unit), _finish(told), *told.care, _warned(told.woods)]
    words = ""
    for sentence in filter(None, said):
        longer = f"{words}\n{sentence}" if words else sentence
        if len(longer) <= WORDS_LENGTH:
            words = longer
    return words


def _what(told: PieceFacts) -> str:
    kind, use = _KIND.get(told.use, "A wooden board"), _FOR.get(told.use, "")
    woods = [f"{one.name} ({one.scientific})" if one.scientific else one.name for one in told.woods]
    made = f", made of {_listed(woods)}; the colours are the woods’ own" if woods else ""
    not_for = " It is made to serve on, not to be cut on." if told.use == "serving" else ""
    return f"{kind}{f' {use}' if use else ''}{made}.{not_for}"


def _size(told: PieceFacts, unit: str) -> str:
    parts = []
    if told.size is not None:
        wide, high, thick = (Length.from_nm(side) for side in told.size)
        across = f"{bare_length(wide, unit)} × {bare_length(high, unit)} × {as_length(thick, unit)}"
        parts.append(f"It is {across}")
    if told.grams:
        parts.append(f"{'weighs' if parts else 'It weighs'} about {_mass(told.grams)}")
    return f"{' and '.join(parts)}." if parts else ""


def _mass(grams: int) -> str:
    """To a tenth of a kilogram, for single boards differ by a tenth; light ones to ten grams."""
    if grams < 1000:
        return f"{round(grams, -1)} g"
    return f"{round(grams / 100) / 10:g} kg"


def _finish(told: PieceFacts) -> str:
    return f"Finished with {told.finish}." if told.finish else ""


def _warned(woods: tuple[WoodFact, ...]) -> str:
    said = [f"It contains {one.name}, a wood of a tree whose nuts are an allergen." for one in woods if one.allergen]
    said += [f"{one.name[0].upper()}{one.name[1:]}: check papers before sending abroad." for one in woods if one.listed]
    return " ".join(said)


def _listed(names: list[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)
