"""The set-ups kept with a cut plan as a paper or page shows them: by kind, what all of a kind have in common told once.

Lengths stay the exact millimetres, written as text, that the record holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Any

from planner.measures import round_half_up

Json = Mapping[str, Any]

_SET = {
    "fence": "Fence",
    "fence at least": "Fence, at least",
    "stop": "Stop",
    "thickness": "Thickness",
    "mark": "Pencil mark",
}


@dataclass(frozen=True)
class SettingLine:
    """``off`` is whether the scale shows another distance than the exact one."""

    words: str
    set_to: str
    exact: str
    spacer: str
    off: bool


@dataclass(frozen=True)
class CutLine:
    """Cuts alike off ``pieces`` pieces, ``each`` of them so many; ``gives`` names what has a name of its own."""

    names: str
    pieces: int
    each: int
    what: str
    size: tuple[str, str, str]
    spares: int
    gives: str

    @property
    def total(self) -> int:
        return self.pieces * self.each


@dataclass(frozen=True)
class StepLine:
    number: int
    machine: str
    settings: list[SettingLine]
    cuts: list[CutLine]
    passes: int
    minutes: str
    notes: list[str]
    instead: str
    bundle: int
    held: str | None

    @property
    def total(self) -> int:
        return sum(cut.total for cut in self.cuts)

    @property
    def spares(self) -> int:
        return sum(cut.spares for cut in self.cuts)


@dataclass(frozen=True)
class KindLine:
    """Set-ups of one kind one after another, with the cautions and the sentences that hold for all of them; ``drawn``
    is how one stands at the machine, on a paper that shows it."""

    kind: str
    words: str
    cautions: list[Json]
    notes: list[str]
    steps: list[StepLine]
    minutes: str
    drawn: str = ""


def kinds_of(record: Json) -> list[KindLine]:
    """The set-ups of a record (``planner.cutting.setups.record``) in their order; none of an empty one."""
    return [_kind(list(steps)) for _, steps in groupby(record.get("steps", ()), _alike)]


def _alike(step: Json) -> tuple[str, bool]:
    return step["kind"], bool(step["instead"])


def _kind(steps: Sequence[Json]) -> KindLine:
    first = steps[0]
    shared = [note for note in first["notes"] if len(steps) > 1 and all(note in step["notes"] for step in steps)]
    cautions = {caution["words"]: caution for step in steps for caution in step["cautions"]}
    words = f"{first['words']}, another way" if first["instead"] else first["words"]
    return KindLine(
        first["kind"],
        words,
        list(cautions.values()),
        shared,
        [_step(step, shared) for step in steps],
        time_words(minutes_in(step["minutes"] for step in steps)),
    )


def time_words(minutes: Fraction) -> str:
    """Minutes to the nearest whole one, in hours where there are many.

    >>> print(time_words(Fraction(20, 3)), time_words(Fraction(1272)))
    7 min 21 h 12 min
    """
    whole = max(int(round_half_up(minutes, 0)), 1)
    hours, rest = divmod(whole, 60)
    words = f"{hours} h {rest} min" if whole >= 120 else f"{whole} min"
    return words.replace(" ", "\u00a0")


def minutes_in(figures: Iterable[Json]) -> Fraction:
    """The minutes of a record's figures in sum."""
    return sum((Fraction(one["value"][1]) for one in figures), Fraction(0))


def _step(step: Json, shared: Sequence[str]) -> StepLine:
    return StepLine(
        number=step["number"],
        machine=step["machine"],
        settings=[
            SettingLine(
                _SET.get(one["what"], one["what"]),
                one["set_to"],
                one["exact"],
                "" if one["spacer"] == "0" else one["spacer"],
                one["set_to"] != one["exact"],
            )
            for one in step["settings"]
        ],
        cuts=list(_cuts(step["cuts"])),
        passes=step["passes"],
        minutes=time_words(minutes_in([step["minutes"]])),
        notes=[note for note in step["notes"] if note not in shared],
        instead=step["instead"],
        bundle=step["bundle"],
        held=step["held"],
    )


def _cuts(cuts: Sequence[Json]) -> Iterator[CutLine]:
    """Neighbouring cuts that differ in the piece only, as one line; rough lengths stay one by one."""

    def like(cut: Json) -> tuple[object, ...]:
        alone = cut["piece"] if cut["begins"] is not None or cut["spares"] or cut["gives"] else ""
        return cut["what"], cut["count"], tuple(cut["size"]), cut["wood"], alone

    for _, some in groupby(cuts, like):
        group = list(some)
        first = group[0]
        yield CutLine(
            names=in_short(list(dict.fromkeys(cut["piece"] for cut in group))),
            pieces=len(group),
            each=first["count"],
            what=first["what"],
            size=tuple(first["size"]),
            spares=sum(cut["spares"] for cut in group),
            gives=in_short([name for cut in group for name in cut["gives"]]),
        )


def in_short(names: Sequence[str]) -> str:
    """Names in their order, strips that follow one another as the first to the last.

    >>> in_short(["WAL12-2.3", "WAL12-2.4", "WAL12-2.5", "WAL12-3.1", "BIR4-1.1"])
    'WAL12-2.3 – 2.5, WAL12-3.1, BIR4-1.1'
    """
    found: list[list[str]] = []
    for name in names:
        rough, _, number = name.rpartition(".")
        before, _, last = found[-1][-1].rpartition(".") if found else ("", "", "")
        follows = rough and rough == before and number.isdigit() and last.isdigit() and int(number) == int(last) + 1
        if follows:
            found[-1].append(name)
        else:
            found.append([name])
    return ", ".join(some[0] if len(some) == 1 else f"{some[0]} – {some[-1].rpartition('-')[2]}" for some in found)
