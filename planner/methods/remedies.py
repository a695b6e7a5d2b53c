"""What mends a weak seam, and what each costs: minutes, wood, and what the seam then carries.

A spline laid along a seam has its grain the wrong way and a sheet on one side only pulls a board hollow, so neither is
among them. What carries a seam is long grain across it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from planner.build import Build, Part
from planner.build.parts import Lie, stages_of
from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.hours import count_operations
from planner.measures import Length, square_metres
from planner.methods.rows import board_of, counts_of, lumber_of, work_of
from planner.methods.terms import Made, Maker, Remedy, Weakest
from planner.methods.work import Work, hours_of, wood_of
from planner.pattern import Pattern

# A key is let in to a third of the board's thickness and counted by it; a face is thin enough for a backing up to this.
# Both common practice, no source.
KEY_DEPTH = Fraction(1, 3)
THIN_FACE = Length.of_mm(10)
DM2 = Fraction(10_000)


class Mending:
    """One weak board and what was reckoned of it, with ``turned``, the same way with its rows the other way."""

    def __init__(self, pattern: Pattern, board: Build, work: Work, weakest: Weakest, maker: Maker) -> None:
        self.pattern, self.board, self.work, self.weakest, self.maker = pattern, board, work, weakest, maker
        self.shop, self.copies = maker.shop, board.spec.quantity
        self.counts = counts_of(board)

    def all(self, made: Made, turned: Made | None) -> tuple[Remedy, ...]:
        """``made`` is this board's own figures."""
        return (
            self._other_axis(made, turned),
            self._deeper_borders(),
            self._through_strips(),
            self._keys(),
            self._backing(),
        )

    # --- how much is missing ------------------------------------------------------------------------------------

    def _missing(self, *, grows: bool) -> Fraction:
        """Millimetres of long grain across the seam still needed; where they ``grow`` the board, more of them."""
        least, carried, of = self.shop.least_carried, self.weakest.carried.mm, self.weakest.of.mm
        missing = least * of - carried
        if grows:
            return missing / (1 - least) if least < 1 else Fraction(-1)
        return missing

    def _enough(self, carried: Fraction, of: Fraction) -> bool:
        return carried > 0 and carried / of >= self.shop.least_carried

    # --- the remedies -------------------------------------------------------------------------------------------

    def _other_axis(self, made: Made, turned: Made | None) -> Remedy:
        other = {"rows": "upright", "columns": "from side to side"}[self.board.spec.along]
        words = f"Rows {other} instead; borders and weak seams turn with them"
        if turned is None or turned.refused:
            why = "it cannot be made so" if turned is None else turned.refused
            return Remedy("axis", f"Rows {other} instead: {why}", False)
        hours = turned.figures["hours"].value, made.figures["hours"].value
        wood = turned.figures["wood"].value, made.figures["wood"].value
        assert isinstance(hours[0], Fraction) and isinstance(hours[1], Fraction)
        assert isinstance(wood[0], Decimal) and isinstance(wood[1], Decimal)
        held = turned.weakest
        return Remedy(
            "axis",
            words,
            True,
            self._minutes((hours[0] - hours[1]) * 60),
            self._money(wood[0] - wood[1]),
            None if held is None else turned.figures["carried"],
            Fraction(1) if held is None else held.share,
            turned.meets,
            {"along": turned.way.along},
        )

    def _deeper_borders(self) -> Remedy:
        """The least depth of the two borders along the rows that carries enough, in steps the saw is read to."""
        spec, shop = self.board.spec, self.shop
        more = self._missing(grows=True)
        if more < 0:
            return Remedy("borders", "Deeper borders: no border makes the whole of a seam continuous.", False)
        step = max(shop.saw_scale, Length.of_mm("0.5")).mm
        depth = Length.of_mm(max(ceil((spec.end_border.mm + more / 2) / step) * step, step))
        side, size = ("Left and right", "wide") if spec.along == "columns" else ("Top and bottom", "deep")
        words = f"{side} borders {shop.says(depth)} {size}, in place of {shop.says(spec.end_border)}"
        try:
            asked, lumber = lumber_of(
                board_of(self.pattern, replace(spec, end_border=depth), self.maker), self.copies, self.maker
            )
        except PlannerError as error:
            return Remedy("borders", f"{words}: {error}", False)
        grown = depth.mm * 2 - spec.end_border.mm * 2
        field = "side_border" if spec.along == "columns" else "end_border"
        return self._costed(
            "borders",
            words,
            work_of(asked, lumber, counts_of(asked)),
            grown,
            self.weakest.of.mm + grown,
            changes={field: depth},
        )

    def _through_strips(self) -> Remedy:
        """Plain strips right through, as narrow as the shop rips them, after every so many rows."""
        board, shop = self.board, self.shop
        width = shop.narrowest_strip.mm - shop.gauge_allowance.mm - 2 * shop.dressing.mm + shop.glue_line.mm
        rows = len(board.rows)
        more = self._missing(grows=True)
        wanted = ceil(more / width) if width > 0 and more > 0 else 1
        if more < 0 or width <= 0 or wanted > rows - 1:
            return Remedy("strips", "A continuous strip between rows: not even one between every two is enough.", False)
        every = max(n for n in range(1, rows) if -(-rows // n) - 1 >= wanted)
        strips = -(-rows // every) - 1
        says = shop.says(Length.of_mm(width))
        words = (
            f"A continuous strip {says} wide after every {every} rows"
            if every > 1
            else (f"A continuous strip {says} wide between every two rows")
        )
        return self._with_parts(
            "strips", f"{words}, {strips} in all; they show", Length.of_mm(width), strips, strips * width, grows=True
        )

    def _keys(self) -> Remedy:
        """Keys from end to end in grooves of the back, grain along the rows."""
        board, shop = self.board, self.shop
        width = shop.narrowest_strip.mm - shop.gauge_allowance.mm
        most = len(board.rows)
        wanted = (
            ceil(max(self._missing(grows=False), Fraction(1, 1000)) / (width * KEY_DEPTH)) if width > 0 else most + 1
        )
        if wanted > most:
            return Remedy("keys", "Keys let into the back: not even one in every row is enough.", False)
        words = (
            f"{wanted} {'key' if wanted == 1 else 'keys'} {shop.says(Length.of_mm(width))} wide let into the back to a "
            "third of its thickness, grain along the rows, and counted by that third"
        )
        return self._with_parts(
            "keys", words, Length.of_mm(width), wanted, wanted * width * KEY_DEPTH, grows=False, operation="back_key"
        )

    def _backing(self) -> Remedy:
        spec, shop = self.board.spec, self.shop
        if spec.use != "wall" or spec.thickness > THIN_FACE:
            return Remedy(
                "backing",
                f"A backing: only under a face no thicker than {shop.says(THIN_FACE)}, balanced by a second one "
                "behind, and only on what hangs to be looked at.",
                False,
            )
        area = self.board.finished_length.mm * self.board.finished_height.mm * self.copies
        minutes = 2 * area / DM2 * self.maker.times["backing_dm2"]
        sheet = Figure(square_metres(area), "m2", "length × height of the boards; sheets are not among the woods")
        return Remedy(
            "backing",
            "A stable sheet behind the face, and a second face of the same thickness behind that, so that it stays "
            "flat. To look at only. The sheet and the second face are not in the wood's price.",
            True,
            Figure(minutes, "min", "both faces of the sheet × minutes each dm²", "the workshop's settings"),
            Figure(Decimal(0), "money", "a sheet to buy, not among the woods on hand", terms=(Term("Sheet", sheet),)),
            Figure(self.weakest.of, "mm", "the sheet lies across every seam"),
            Fraction(1),
            True,
        )

    # --- what they cost -----------------------------------------------------------------------------------------

    def _with_parts(
        self,
        kind: str,
        words: str,
        width: Length,
        count: int,
        carries: Fraction,
        *,
        grows: bool,
        operation: str = "row_join",
    ) -> Remedy:
        """The board with ``count`` plain strips more, as long as the blank."""
        board, shop = self.board, self.shop
        edges = 2 if grows else 0
        lie = Lie(board.blank_length, width, 0, edges, 2, 0)
        part = Part(
            "through strip",
            board.spec.border_wood,
            0,
            count,
            lie.length,
            lie.width,
            stages_of(lie, board.spec.thickness, shop),
        )
        try:
            asked, lumber = lumber_of(replace(board, parts=(*board.parts, part)), self.copies, self.maker)
        except PlannerError as error:
            return Remedy(kind, f"{words}: {error}", False)
        operations = count_operations(asked, lumber)
        operations[operation] = operations.get(operation, Fraction(0)) + count * self.copies
        if grows:
            faces = 2 * board.finished_length.mm * count * width.mm / DM2 * self.copies
            operations = {
                name: done + (faces if name in ("sand_dm2", "oil_dm2") else 0) for name, done in operations.items()
            }
        work = replace(
            work_of(asked, lumber, self.counts),
            operations=operations,
            gross={need.wood: need.gross_mm3 for need in lumber.woods},
        )
        return self._costed(kind, words, work, carries, self.weakest.of.mm + (count * width.mm if grows else 0))

    def _costed(
        self,
        kind: str,
        words: str,
        work: Work,
        carries: Fraction,
        of: Fraction,
        changes: Mapping[str, Length | str] | None = None,
    ) -> Remedy:
        maker = self.maker
        carried = self.weakest.carried.mm + carries
        return Remedy(
            kind,
            words,
            True,
            self._minutes((hours_of(work, maker) - hours_of(self.work, maker)) * 60),
            self._money(wood_of(work, maker) - wood_of(self.work, maker)),
            Figure(
                Length.of_mm(carried),
                "mm",
                f"{self.weakest.place}: what carries it now + what this adds",
                terms=(
                    Term("Now", Figure(self.weakest.carried, "mm", "rows and borders that lie across")),
                    Term("Added", Figure(Length.of_mm(carries), "mm", words)),
                    Term("The board across its rows", Figure(Length.of_mm(of), "mm", "as it then is")),
                ),
            ),
            carried / of,
            self._enough(carried, of),
            changes or {},
        )

    def _minutes(self, minutes: Fraction) -> Figure:
        return Figure(minutes, "min", "minutes for all boards so − minutes as it is", "the workshop's standard times")

    def _money(self, amount: Decimal) -> Figure:
        return Figure(amount, "money", "wood for all boards so − wood as it is")
