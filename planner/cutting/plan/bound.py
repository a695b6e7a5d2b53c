"""Parts that all come from one board: whether a plan keeps to that, and which boards are worth trying.

Which board it is to be is settled before a search; the parts then bear that board's mark. A floor leaves the wish
out: what holds for all plans holds for those that keep it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from planner.cutting.plan.clear import clear_stretches
from planner.cutting.plan.first import first_plan
from planner.cutting.plan.marks import NONE, Bound
from planner.cutting.plan.terms import BoardCut, Part, Rules, StockBoard
from planner.cutting.plan.worth import settle, slot, strip_slot, usable

# Choices of boards that are followed while one lot of bound parts after another is given its board.
_KEPT = 4
# Boards that do, after which no other is tried where a plan is wanted at once.
_ENOUGH = 4
# width, thickness, length
_Size = tuple[int, int, int]


def lots_of(parts: Iterable[Part]) -> dict[str, tuple[Part, ...]]:
    """Bound parts by the word they share, the lot that takes most wood first."""
    lots: dict[str, tuple[Part, ...]] = {}
    for part in parts:
        if part.bound and part.count > 0:
            lots[part.bound] = (*lots.get(part.bound, ()), part)
    return dict(sorted(lots.items(), key=lambda lot: (-sum(p.width * p.length * p.count for p in lot[1]), lot[0])))


def holders(cuts: Iterable[BoardCut], parts: tuple[Part, ...], shelf: dict[str, StockBoard]) -> Bound | None:
    """The board each lot may be said to come from in a plan that was made without the wish, None where there is none
    for some lot."""
    made: dict[str, Counter[_Size]] = {}
    for cut in cuts:
        of = made.setdefault(cut.board, Counter())
        for rough in cut.rough:
            for strip in (*rough.strips, *rough.under):
                for length, count in strip.parts:
                    of[strip.width, rough.thickness, length] += count
    lots = list(lots_of(parts).items())

    def shades_hold() -> bool:
        asked: Counter[tuple[str, _Size]] = Counter()
        for part in parts:
            if part.shade and not part.bound:
                asked[part.shade, (part.width, part.thickness, part.length)] += part.count
        return all(
            sum(of[size] for name, of in made.items() if shelf[name].shade == shade) >= count
            for (shade, size), count in asked.items()
        )

    def give(at: int, chosen: dict[str, str]) -> Bound | None:
        if at == len(lots):
            return dict(chosen) if shades_hold() else None
        word, lot = lots[at]
        need = _sizes_of(lot)
        for name, of in made.items():
            if all(of[size] >= count for size, count in need.items()) and _shade_fits(lot, shelf[name]):
                of.subtract(need)
                found = give(at + 1, {**chosen, word: name})
                of.update(need)
                if found is not None:
                    return found
        return None

    return give(0, {})


def choices(parts: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules, runs: int) -> list[Bound]:
    """Boards for every lot, those of which a first plan of so many ``runs`` costs least first; then those no first plan
    was found with. With one run it is to be quick: cheap boards are tried first, and a few that do are enough."""
    best: list[tuple[bool, int, Bound]] = [(False, 0, NONE)]
    shelf = {board.name: board for board in stock}
    lots = lots_of(parts)
    for word, lot in lots.items():
        able = sorted(_able(lot, stock, rules, len(lots)), key=lambda board: (board.cost, board.name))
        tried: list[tuple[bool, int, Bound]] = []
        for _, _, before in best:
            for board in able:
                bound: Bound = {**before, word: board.name}
                cuts, _ = first_plan(parts, stock, rules, bound, runs)
                cost = settle(cuts, shelf, rules).cost if cuts is not None else 0
                tried.append((cuts is None, cost, bound))
                if runs == 1 and sum(not failed for failed, _, _ in tried) == _ENOUGH:
                    break
        best = sorted(tried, key=lambda one: one[:2])[: 1 if runs == 1 else _KEPT]
    return [bound for _, _, bound in best if bound]


def _able(lot: tuple[Part, ...], stock: tuple[StockBoard, ...], rules: Rules, most: int) -> Iterator[StockBoard]:
    """Of every kind of board at most so many that might give all of the lot, by thickness, shade, width and area."""
    seen: Counter[object] = Counter()
    # A part and the kerfs beside it take this much of a board, a kerf longer and wider than it is.
    area = sum(slot(part.length, rules) * strip_slot(part.width, rules) * part.count for part in lot)
    for board in stock:
        across, stretches = usable(board, rules)[0], clear_stretches(board, rules)
        alike = (across, stretches, board.yields, board.resawn, board.cost, board.worth, board.shade)
        along = sum(end - begin + rules.crosscut_kerf for begin, end in stretches)
        layers = 2 if board.resawn >= min(part.thickness for part in lot) else 1
        if (
            seen[alike] < most
            and board.yields >= max(part.thickness for part in lot)
            and _shade_fits(lot, board)
            and across + rules.rip_kerf >= max(strip_slot(part.width, rules) for part in lot)
            and area <= layers * along * (across + rules.rip_kerf)
        ):
            seen[alike] += 1
            yield board


def _shade_fits(lot: tuple[Part, ...], board: StockBoard) -> bool:
    return all(part.shade in ("", board.shade) for part in lot)


def _sizes_of(lot: tuple[Part, ...]) -> Counter[_Size]:
    sizes: Counter[_Size] = Counter()
    for part in lot:
        sizes[part.width, part.thickness, part.length] += part.count
    return sizes
