"""Set-ups as plain JSON, kept with a cut sheet and shown from there. Lengths are exact millimetres written as text."""

from __future__ import annotations

from typing import Any

from planner.cutting.setups.terms import Caution, Cut, Setting, SetUp, SetUps
from planner.figures import Figure
from planner.measures import Length

SET_UPS_FORM = 1
Json = dict[str, Any]


def to_record(ups: SetUps) -> Json:
    """The set-ups as a JSON-safe dict; ``from_record`` gives them back unchanged."""
    return {
        "form": SET_UPS_FORM,
        "steps": [_step(step) for step in ups.steps],
        "minutes": ups.minutes.as_record(),
        "fence_travel": ups.fence_travel.as_record(),
        "stop_travel": ups.stop_travel.as_record(),
        "order": list(ups.order),
    }


def from_record(record: Json) -> SetUps:
    return SetUps(
        tuple(_step_from(step) for step in record["steps"]),
        Figure.from_record(record["minutes"]),
        Figure.from_record(record["fence_travel"]),
        Figure.from_record(record["stop_travel"]),
        tuple(record["order"]),
    )


def _mm(length: Length | None) -> str | None:
    return None if length is None else str(length.mm)


def _length(text: str | None) -> Length | None:
    return None if text is None else Length.of_mm(text)


def _step(step: SetUp) -> Json:
    return {
        "number": step.number,
        "kind": step.kind,
        "words": step.words,
        "machine": step.machine,
        "settings": [
            {
                "what": s.what,
                "exact": _mm(s.exact),
                "set_to": _mm(s.set_to),
                "spacer": _mm(s.spacer),
                "travel": _mm(s.travel),
            }
            for s in step.settings
        ],
        "cuts": [
            {
                "what": cut.what,
                "piece": cut.piece,
                "wood": cut.wood,
                "count": cut.count,
                "size": [_mm(cut.length), _mm(cut.width), _mm(cut.thickness)],
                "spares": cut.spares,
                "gives": list(cut.gives),
                "begins": _mm(cut.begins),
            }
            for cut in step.cuts
        ],
        "passes": step.passes,
        "minutes": step.minutes.as_record(),
        "cautions": [{"words": caution.words, "source": caution.source} for caution in step.cautions],
        "notes": list(step.notes),
        "instead": step.instead,
        "bundle": step.bundle,
        "held": _mm(step.held),
    }


def _step_from(told: Json) -> SetUp:
    return SetUp(
        number=told["number"],
        kind=told["kind"],
        machine=told["machine"],
        settings=tuple(
            Setting(
                s["what"],
                Length.of_mm(s["exact"]),
                Length.of_mm(s["set_to"]),
                Length.of_mm(s["spacer"]),
                Length.of_mm(s["travel"]),
            )
            for s in told["settings"]
        ),
        cuts=tuple(_cut_from(cut) for cut in told["cuts"]),
        passes=told["passes"],
        minutes=Figure.from_record(told["minutes"]),
        cautions=tuple(Caution(c["words"], c["source"]) for c in told["cautions"]),
        notes=tuple(told["notes"]),
        instead=told["instead"],
        bundle=told["bundle"],
        held=_length(told["held"]),
    )


def _cut_from(told: Json) -> Cut:
    length, width, thickness = (Length.of_mm(size) for size in told["size"])
    return Cut(
        told["what"],
        told["piece"],
        told["wood"],
        told["count"],
        length,
        width,
        thickness,
        told["spares"],
        tuple(told["gives"]),
        _length(told["begins"]),
    )
