"""The season judged: what is late and at risk, what was planned again with one thing changed, how many boards fit."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from .planning import BOUGHT, Board, Change, HeldUp, Joint, Shop, due_slot, sound


@dataclass(frozen=True)
class Judged:
    """What was planned, and planned again with one thing changed where a board is not surely in time. All finishes are
    slots by a job's key, likely and careful ones; ``alone`` are those of boards that nothing else is made beside;
    ``copies`` how many boards a job is."""

    first: date
    finishes: Mapping[int, int | None]
    careful: Mapping[int, int | None]
    refused: Mapping[int, str]
    held: Mapping[int, HeldUp]
    changed: Sequence[tuple[Change, Mapping[int, int | None], Mapping[int, int | None]]]
    alone: Mapping[int, int | None]
    copies: Mapping[int, int]
    stretched: bool
    remarks: Sequence[str] = ()


def judge(boards: Sequence[Board], shop: Shop) -> Judged:
    """All boards planned together; whatever is not in time at careful minutes is told what holds it up, and everything
    is planned again with each change that might mend it."""
    good, refused = sound(boards, shop)
    joint = Joint(good, shop)
    found = joint.planned(refused=refused)
    troubled = [
        board.pk for board in good if board.due and not _by(found.careful[board.pk], due_slot(shop.first, board.due))
    ]
    held = {pk: found.held_up(pk) for pk in troubled if found.finishes[pk]}
    changed = []
    for change in _changes(joint, held) if troubled else []:
        again = joint.planned(change)
        changed.append((change, again.finishes, again.careful))
    return Judged(
        first=shop.first,
        finishes=found.finishes,
        careful=found.careful,
        refused=refused,
        held=held,
        changed=changed,
        alone={pk: joint.planned(among=[pk], careful=False).finishes[pk] for pk in troubled},
        copies={board.pk: board.to_glue.copies for board in good},
        stretched=found.stretched,
    )


def _by(finish: int | None, due: int) -> bool:
    return finish is not None and finish <= due


def _changes(joint: Joint, held: Mapping[int, HeldUp]) -> list[Change]:
    """What might mend it: one load more of everything that can run short, another person, an evening more a week, the
    wood settled already; one of those in trouble begun first, or one that has the hands meanwhile put last."""
    found = joint.wholly()
    if any(wait in BOUGHT for one in held.values() for wait in one.waits):
        found.append(Change("settled"))
    if len(joint.places) > 1:
        found += [Change("first", pk=pk) for pk in list(held)[:_MOST_MOVED]]
        busy: dict[int, int] = {}
        for one in held.values():
            for pk, slots in one.by.items():
                busy[pk] = busy.get(pk, 0) + slots
        found += [Change("later", pk=pk) for pk in sorted(busy, key=lambda pk: -busy[pk])[:_MOST_MOVED]]
    return found


# So many jobs are put first and last by turns, those first that have the hands the longest.
_MOST_MOVED = 5


@dataclass(frozen=True)
class Fitting:
    """The boards that are due by a day: which of them are finished by the end of it if ``left_out`` are not made, how
    many of those that fit are at careful minutes too, and which single changes make all of them fit."""

    pks: tuple[int, ...]
    left_out: tuple[int, ...]
    surely: int
    enough: tuple[Change, ...]


def fitting(boards: Sequence[Board], shop: Shop, by: date, lightly: Mapping[int, int]) -> Fitting:
    """``lightly`` says of a job's key how lightly it is left out: of those that help alike the least is. One after
    another is left out, always the one without which the fewest of the others are too late."""
    good, _ = sound([board for board in boards if board.due is not None and board.due <= by], shop)
    end, kept = due_slot(shop.first, by), [board.pk for board in good]
    if not good:
        return Fitting((), (), 0, ())
    joint = Joint(good, shop)

    def too_late(pks: Collection[int], change: Change | None = None) -> int:
        made = joint.planned(change, pks, careful=False).finishes
        return sum(not _by(finish, end) for finish in made.values())

    left_out: list[int] = []
    late = too_late(kept)
    changes = [*joint.wholly(), *([Change("settled")] if joint.waits_for_wood() else [])]
    enough = [] if not late else [one for one in changes if not too_late(kept, one)]
    while late:
        ways = [(too_late([pk for pk in kept if pk != out]), lightly[out], -out, out) for out in kept]
        late, _, _, out = min(ways)
        kept.remove(out)
        left_out.append(out)
    surely = joint.planned(among=kept).careful if kept else {}
    return Fitting(
        tuple(board.pk for board in good),
        tuple(left_out),
        sum(_by(finish, end) for finish in surely.values()),
        tuple(enough),
    )
