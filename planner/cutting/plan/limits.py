"""What cannot be cut at all: the part, the limit, and the nearest change that would let it."""

from __future__ import annotations

from collections.abc import Callable

from planner.cutting.plan.clear import longest_clear
from planner.cutting.plan.first import Wanted, shortest_rough
from planner.cutting.plan.terms import CutJob, CutPlanError, Part, Rules, StockBoard
from planner.cutting.plan.worth import slot, strip_room, strip_slot, usable

Says = Callable[[int], str]


def check_makeable(job: CutJob, says: Says = str) -> None:
    """That every part could come out of some board by itself, all of a wood ripped the same way. ``says`` puts a length
    of the job in words.

    Raises CutPlanError naming the first part that cannot, the limit in its way and what would mend it; ``field`` is
    "stock", "parts" or the rule at fault.
    """
    rules = job.rules
    if rules.grid < 1 or rules.crosscut_kerf < 0 or rules.rip_kerf < 0:
        raise CutPlanError("The grid is at least 1 and no kerf is less than 0.", mend="Mend the rules.", field="grid")
    for wood in dict.fromkeys(part.wood for part in job.parts if part.count > 0):
        ways_open(wood, job, says)


def ways_open(wood: str, job: CutJob, says: Says = str) -> tuple[tuple[str, ...], tuple[tuple[str, Part], ...]]:
    """The ways in which all parts of ``wood`` can be made, and the others, each with a part that cannot.

    Raises CutPlanError, as ``check_makeable`` does, where there is none.
    """
    wished = dict(job.ways).get(wood, "face")
    ways = ("face", "edge") if wished == "either" else (wished,)
    boards = [
        board
        for board in job.stock
        if board.wood == wood and usable(board, job.rules)[0] > 0 and longest_clear(board, job.rules) > 0
    ]
    open_: list[str] = []
    closed: list[tuple[str, Part]] = []
    first: CutPlanError | None = None
    for way in ways:
        for part in job.parts:
            if part.wood == wood and part.count > 0:
                try:
                    _Check(part, way, wished == "either", job.rules, says).against(boards)
                except CutPlanError as error:
                    first = first or error
                    closed.append((way, part))
                    break
        else:
            open_.append(way)
    if not open_ and first is not None:
        raise first
    return tuple(open_), tuple(closed)


class _Check:
    """One part against the limits, its strips ripped one ``way``; ``either`` where the other way may be taken too."""

    def __init__(self, part: Part, way: str, either: bool, rules: Rules, says: Says) -> None:
        self.part, self.rules, self.says = part, rules, says
        self.on_edge = way == "edge"
        self.width, self.thickness = (part.thickness, part.width) if self.on_edge else (part.width, part.thickness)
        size = f"{says(part.width)} by {says(part.thickness)} by {says(part.length)}"
        named = f"The {part.name} of {part.wood}" if part.name else f"A part of {part.wood}"
        self.its = f"{named}, {size},"
        other = "rip its strips face up" if self.on_edge else "turn its strips on edge"
        # The other way is no way out where it was tried as well.
        self.or_other = "" if either else f", or {other}"
        # What the maker would change of the part to change what is ripped and what is milled.
        self.wide, self.thick = ("thick", "wide") if self.on_edge else ("wide", "thick")

    def against(self, boards: list[StockBoard]) -> None:
        part, rules, says, its = self.part, self.rules, self.says, self.its
        self._check_itself()
        if not boards:
            raise CutPlanError(
                f"{its} is wanted, and there is no {part.wood} in stock with anything left once it is trimmed.",
                mend=f"Buy {part.wood}, or choose another wood.",
                field="stock",
            )
        shaded = [board for board in boards if part.shade in ("", board.shade)]
        if not shaded:
            raise CutPlanError(
                f"{its} asks for the shade {part.shade}, and no {part.wood} in stock is of it.",
                mend=f"Say which boards are of the shade {part.shade}, buy one, or let the part come from any.",
                field="stock",
            )
        thick = [board for board in shaded if board.yields >= self.thickness]
        if not thick:
            most = max(board.yields for board in shaded)
            asks = f"asks on edge for wood milled to {says(self.thickness)}," if self.on_edge else "is"
            more = "more than" if self.on_edge else "thicker than"
            raise CutPlanError(
                f"{its} {asks} {more} the {says(most)} the thickest board on hand yields.",
                mend=f"Make it {says(most)} {self.thick}, or buy a board that yields {says(self.thickness)}"
                f"{self.or_other if self.on_edge else ''}.",
                field="stock",
            )
        wide = [b for b in thick if usable(b, rules)[0] + rules.rip_kerf >= strip_slot(self.width, rules)]
        if not wide:
            most = max(usable(board, rules)[0] for board in thick) - rules.over_width
            broad = self.width + rules.over_width + 2 * rules.edge_trim
            asks = f"asks on edge for strips {says(self.width)} wide, more" if self.on_edge else "is wider"
            raise CutPlanError(
                f"{its} {asks} than the {says(most)} the widest board on hand gives once its edges are trimmed.",
                mend=(f"Make it {says(most)} {self.wide}, or buy" if most > 0 else "Buy")
                + f" a board {says(broad)} wide.",
                field="stock",
            )
        self._check_length(wide)

    def _check_itself(self) -> None:
        part, rules, says, its = self.part, self.rules, self.says, self.its
        if min(part.width, part.thickness, part.length) <= 0:
            raise CutPlanError(f"{its} has no size.", mend="Give it one.", field="parts")
        if part.pieces:
            makes = sum(part.pieces) + (len(part.pieces) - 1) * (rules.over_length + rules.crosscut_kerf)
            if len(part.pieces) < 2 or min(part.pieces) <= 0 or makes != part.length:
                raise CutPlanError(
                    f"{its} is to be cut apart into {' and '.join(says(one) for one in part.pieces)}, which make up "
                    f"{says(makes)} with what is lost between them.",
                    mend=f"Make it {says(makes)} long, or mend the pieces.",
                    field="parts",
                )
        ripped = self.width + rules.over_width
        if ripped < rules.narrowest:
            raise CutPlanError(
                f"{its} asks for a strip {says(ripped)} wide; nothing narrower than {says(rules.narrowest)} is ripped.",
                mend=f"Make it {says(rules.narrowest - rules.over_width)} {self.wide}{self.or_other}.",
                field="narrowest",
            )
        if self.thickness < rules.thinnest:
            raise CutPlanError(
                f"{its} asks for wood milled to {says(self.thickness)}; nothing thinner than "
                f"{says(rules.thinnest)} is milled.",
                mend=f"Make it {says(rules.thinnest)} {self.thick}{self.or_other}.",
                field="thinnest",
            )

    def _check_length(self, boards: list[StockBoard]) -> None:
        rules, says, its = self.rules, self.says, self.its
        need = shortest_rough(slot(self.part.length, rules), rules)
        least = -(-rules.shortest_rough // rules.grid) * rules.grid
        if rules.longest_rip and need > rules.longest_rip:
            if least > rules.longest_rip:
                raise CutPlanError(
                    f"Nothing shorter than {says(rules.shortest_rough)} is milled and nothing longer than "
                    f"{says(rules.longest_rip)} is ripped, so no rough length is left for {its[0].lower()}{its[1:-1]}.",
                    mend="Mend one of the two limits.",
                    field="shortest_rough",
                )
            raise CutPlanError(
                f"{its} asks for a rough length of {says(need)}, its grip and cuts included; no more than "
                f"{says(rules.longest_rip)} is ripped.",
                mend=self._shorter(rules.longest_rip, f"rip lengths of {says(need)} if your saw can hold them"),
                field="longest_rip",
            )
        longest = max(longest_clear(board, rules) for board in boards)
        if need <= longest:
            return
        clear = " and what is bad is left out" if any(board.bad for board in boards) else ""
        buy = f"buy a board {says(need + 2 * rules.end_trim)} long"
        if longest < least:
            raise CutPlanError(
                f"{its} would come out of the longest board on hand, but that gives {says(longest)} once its ends are "
                f"trimmed{clear}, and nothing shorter than {says(rules.shortest_rough)} is milled.",
                mend=f"{buy[0].upper()}{buy[1:]}.",
                field="shortest_rough",
            )
        raise CutPlanError(
            f"{its} asks for a rough length of {says(need)}, its grip and cuts included; the longest board on hand "
            f"gives {says(longest)} once its ends are trimmed{clear}.",
            mend=self._shorter(longest, f"join it from two, build along the board's other side, or {buy}"),
            field="stock",
        )

    def _shorter(self, most: int, other: str) -> str:
        """How much shorter a part may come out of a rough length of at most ``most``, or what else would do."""
        rules = self.rules
        room = strip_room(most // rules.grid * rules.grid, rules) - slot(0, rules)
        if room > 0:
            return f"Make it {self.says(self.part.length - room)} shorter, {'' if ',' in other else 'or '}{other}."
        held = max(rules.grip, rules.snipe)
        return (
            f"{other[0].upper()}{other[1:]}: of every strip {self.says(held)} are held or lost at its end, so that "
            "nothing is left of a shorter one."
        )


def short_of_stock(wood: str, left: Wanted, says: Says = str) -> CutPlanError:
    """The error for a wood whose boards do not give all its parts: what the best try left uncut."""
    pieces = [(count, *section, length) for section, items in left.items() for (length, _), count in items.items()]
    total = sum(one[0] for one in pieces)
    shown = ", ".join(
        f"{count} of {says(width)} by {says(thick)} by {says(length)}" for count, width, thick, length in pieces[:3]
    )
    more = f" and {len(pieces) - 3} sizes more" if len(pieces) > 3 else ""
    shades = sorted({mark.removeprefix("shade ") for items in left.values() for _, mark in items if mark})
    of = f" of the shade {' and '.join(shades)}" if shades else ""
    return CutPlanError(
        f"The {wood} in stock does not give every part: {total} pieces were left uncut ({shown}{more}).",
        mend=f"Bring more {wood}{of} in, or make fewer.",
        field="stock",
    )


def bound_nowhere(wood: str, lots: list[str]) -> CutPlanError:
    """The error where the stock gives all parts of a wood, but no one board those that are bound together."""
    named = " and ".join(lots)
    return CutPlanError(
        f"No plan was found in which one board of {wood} gives all the parts bound together ({named}).",
        mend="Let them come from several boards, or buy a larger one.",
        field="bound",
    )
