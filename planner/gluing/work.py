"""From kept boards and what a shop has to the work of making them: tasks, what holds what up, and what each of them is.

wood       bought, settled, milled, ripped, gauged, crosscut in lots, sorted, laid dry
glueups    rows, dressed, joined by levels, borders, cured, flattened, parts joined last
finishing  cut to size, sanded, finished, cured, photographed, packed, with the carrier
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from planner.gluing.bench import Bench, OneBoard
from planner.gluing.finishing import finish_board
from planner.gluing.glueboard import GlueBoard
from planner.gluing.glueups import glue_up
from planner.gluing.layout import PartOfBoard, layout_of
from planner.gluing.left import left_of
from planner.gluing.loading import MOST_BORDERS, MOST_ROWS, PANEL, at_once, minutes_said, sections_of
from planner.gluing.materials import Adhesive, Around, Finish, GlueShop
from planner.gluing.panels import lay_panels
from planner.gluing.shares import a_border, a_line, loading, loading_panel
from planner.gluing.steps import Draft, GlueWork
from planner.gluing.terms import HANDS, TimetableError
from planner.gluing.tools import Tools
from planner.gluing.wood import lay_pieces, strips
from planner.measures import Length


def glue_work(
    boards: Sequence[GlueBoard],
    shop: GlueShop,
    adhesive: Adhesive,
    finish: Finish,
    around: Around,
    times: Mapping[str, Fraction],
    sessions: Sequence[tuple[int, int]],
    slot_minutes: int = 5,
    done: Collection[str] = (),
    *,
    ready: Mapping[str, int] | None = None,
    unit: str = "mm",
    paces: Sequence[Fraction] = (),
) -> GlueWork:
    """The work of making ``boards``, each in all its copies, in slots of ``slot_minutes``.

    ``times`` are minutes by operation (``planner.hours``); a board's attended minutes are its operations' minutes and
    those ``around`` it, but that every further part of a row that is glued in parts is loaded anew. ``done`` are keys
    of steps ticked already, which are left out with all that came before them; ``ready`` says for those of them whose
    hold or cure may still go on at which slot hands left them. The first session begins no sooner than now. ``unit`` is
    what sentences are in. ``paces`` give a board each how many times the minutes its work is given, so that some of
    several are planned with care; how it is laid out and what is glued at once stays as by the ``times``.

    Raises TimetableError naming the record at fault: "jigs", "clamps", "clamp_every", "bench_places", "people",
    "widest_flattened", "adhesive", "wipe_within", "sessions", or an operation.
    """
    if not boards:
        raise TimetableError("There is no board to make.", mend="Choose one.", field="boards")
    if shop.people < 1:
        raise TimetableError(
            "Nobody is in the shop.", mend="Write how many people glue up in the workshop's records.", field="people"
        )
    if not sessions:
        raise TimetableError("No session is planned.", mend="Write when somebody is in the shop.", field="sessions")
    draft = Draft(slot_minutes, tuple(sessions))
    draft.remarks += _hurried(adhesive, times)
    layouts, tools, rows_at_once = _laid_out(boards, shop, adhesive, times, unit)
    bench = Bench(shop, adhesive, finish, around, times, tools, draft, rows_at_once)
    number = 0
    for place, (board, parts) in enumerate(zip(boards, layouts, strict=True), start=1):
        paced = replace(bench, pace=paces[place - 1]) if paces else bench
        told = len(draft.remarks)
        number = _make(paced, board, parts, place, number)
        if len(boards) > 1 and board.label:
            draft.remarks[told:] = [f"{board.label}: {words[0].lower()}{words[1:]}" for words in draft.remarks[told:]]
    capacity = {HANDS: shop.people, **tools.capacity}
    return left_of(draft, capacity, done, ready or {})


def _make(bench: Bench, board: GlueBoard, parts: tuple[PartOfBoard, ...], place: int, number: int) -> int:
    """All copies of a board; gives the number of the next in the timetable."""
    shared = OneBoard(bench, board, place, 0, number)
    laid = (lay_panels if board.panels else lay_pieces)(shared, strips(shared))
    for copy in range(1, board.copies + 1):
        one = OneBoard(bench, board, place, copy, number + copy - 1)
        finish_board(one, glue_up(one, parts, laid))
    return number + board.copies


def _hurried(adhesive: Adhesive, times: Mapping[str, Fraction]) -> Iterator[str]:
    for words, minutes in (("Joining two rows", a_line(times)), ("Gluing on a border", a_border(times))):
        if minutes > adhesive.assembly:
            yield (
                f"{words} takes {minutes_said(minutes)} min by your times and the adhesive's assembly time is "
                f"{adhesive.assembly} min: try everything dry first and spread last, or use one that leaves more time."
            )


def _laid_out(
    boards: Sequence[GlueBoard], shop: GlueShop, adhesive: Adhesive, times: Mapping[str, Fraction], unit: str
) -> tuple[list[tuple[PartOfBoard, ...]], Tools, int]:
    """How every board comes together, the jigs and clamps pooled for all of it, and the rows of one glue-up."""
    fixed, a_joint = loading(times)
    rows_at_once = at_once(a_line(times), adhesive.assembly, MOST_ROWS - 1) + 1
    borders_at_once = at_once(a_border(times), adhesive.assembly, MOST_BORDERS)
    layouts, lengths, reaches = [], set[Length](), set[Length]()
    for board in boards:
        parts = layout_of(board, shop.widest_flattened, rows_at_once, borders_at_once, unit)
        layouts.append(parts)
        for row in board.rows:
            if row.joints:
                sections = sections_of(row.pieces, fixed, a_joint, adhesive.assembly)
                lengths.update(row.length_of(section.first, section.end) for section in sections)
                reaches.add(row.width)
        for panel in board.panels:
            if panel.strips > 1:
                sections = sections_of(panel.strips, *loading_panel(times), adhesive.assembly, PANEL)
                reaches.update(panel.width_of(section.first, section.end) for section in sections)
        reaches.update(reach for part in parts for reach in part.reaches)
        if len(parts) > 1:
            reaches.add(board.blank_height)
    return layouts, Tools(shop, lengths, reaches, unit), rows_at_once
