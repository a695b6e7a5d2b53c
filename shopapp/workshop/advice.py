"""What is published about limits and allowances, said beside a maker's own where they differ; the maker's own rule."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from planner.measures import Length

_mm, _inches = Length.of_mm, Length.of_inches


@dataclass(frozen=True)
class Advice:
    """``words`` are said of the setting ``name`` where ``said_of`` holds for its length."""

    name: str
    said_of: Callable[[Length], bool]
    words: str
    source: str


def _kerf(name: str) -> Advice:
    return Advice(
        name,
        lambda kerf: kerf > _inches("1/4"),
        "More than a saw blade usually takes. Is it in the unit you meant?",
        "common practice, no source",
    )


ADVICE = (
    Advice(
        "shortest_machined",
        lambda length: length < _mm(305),
        "Shorter than is usually advised: 305 mm (12 in) by a teacher's rules, and under 300 mm the advice for a "
        "jointer is to think of another way, such as a sander. Keep it only if the machine's own manual allows so "
        "short a piece, and use push blocks.",
        "thecraftsmanspath.com, 2009; HSE, hse.gov.uk/woodworking/planer.htm as quoted at ukworkshop.co.uk",
    ),
    Advice(
        "grip",
        lambda length: length < _inches(3),
        "Less than the 76 mm (3 in) that hands keep from a guard by a teacher's rules. Hold so short an end with a "
        "hold-down on the sled, never with the fingers.",
        "thecraftsmanspath.com, 2009",
    ),
    _kerf("crosscut_kerf"),
    _kerf("rip_kerf"),
    _kerf("resaw_kerf"),
    Advice(
        "stand_off",
        lambda length: length < _mm(12),
        "So narrow a gap that a small part can still turn and catch between blade and stop. 25 mm (1 in) is usual.",
        "from memory",
    ),
    Advice(
        "snipe",
        lambda length: length > _inches(6),
        "More than a planer usually leaves. Is it in the unit you meant?",
        "common practice, no source",
    ),
    Advice(
        "saw_scale",
        lambda length: length > _mm(1),
        "Coarser than most scales are read. A row of many tiles adds up what each is off.",
        "common practice, no source",
    ),
    Advice(
        "glue_line",
        lambda length: length > _mm("0.15"),
        "More than most woodworking adhesives bridge well, 0.05 to 0.15 mm. See the adhesive's data sheet.",
        "E. Wengert, Wood Doctor, woodworkingnetwork.com",
    ),
)


def advice_on(values: Mapping[str, object]) -> list[Advice]:
    """What is to be said of the lengths in ``values``, by their settings' names."""
    return [
        advice for advice in ADVICE if isinstance(length := values.get(advice.name), Length) and advice.said_of(length)
    ]
