"""Boards of panels: strips glued side by side, flattened, crosscut into slices, each a row of the board, grain on end.

Panels serve all copies. One with more strips than load in time is glued in sections; slices are cut in lots of panels.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from planner.gluing.bench import OneBoard, listed
from planner.gluing.glueboard import GluePanel
from planner.gluing.glueups import CLAMPS_OFF, PRESSED, by_the_sheet, pressed
from planner.gluing.loading import PANEL, Section, lots_of, sections_of
from planner.gluing.shares import loading_panel, scaled, summed, together
from planner.gluing.wood import Laid
from planner.measures import Length


def lay_panels(one: OneBoard, before: list[str]) -> Laid:
    """From strips to slices: what every row waits for, by copy and number."""
    flat = {panel.number: _flat(one, panel, before) for panel in one.board.panels}
    of_panel = _sliced(one, flat)
    copies = range(1, one.board.copies + 1)
    rows = {(copy, row.number): of_panel[row.panel] for copy in copies for row in one.board.rows}
    return Laid(rows, list(of_panel.values())[-1])


def _flat(one: OneBoard, panel: GluePanel, before: list[str]) -> list[str]:
    """All panels of one kind glued and flattened; gives what their slices wait for."""
    bench, board = one.bench, one.board
    whole = sum((other.area for other in board.panels), Fraction(0))
    ends = []
    for n, length in enumerate(panel.lengths, start=1):
        many = len(panel.lengths)
        name = f"{panel.number}/{n}" if many > 1 else str(panel.number)
        said = f"panel {panel.number}" + (f", {n} of {many}" if many > 1 else "")
        glued = _glued(one, panel, length, name, said, before)
        flat = one.in_lots(
            "even",
            name,
            f"Flatten {said}",
            bench.minutes("even", {"panel_dm2": board.panel_dm2 * (length.mm * panel.width.mm) / whole}),
            after=glued or before,
            wait=bench.adhesive.machining if glued else 0,
            first=("glue scraped off", "both faces flat and parallel: every slice comes out of it"),
        )
        ends += flat[-1:] or glued or before
    return ends


def _glued(one: OneBoard, panel: GluePanel, length: Length, name: str, said: str, before: Sequence[str]) -> list[str]:
    """One panel in clamps, by sections where it cannot be loaded in time; nothing where it is one strip."""
    if panel.strips == 1:
        return []
    bench = one.bench
    sections = sections_of(panel.strips, *loading_panel(bench.times), bench.adhesive.assembly, PANEL)
    parts = sum(not section.of for section in sections)
    if parts > 1:
        bench.draft.remarks.append(
            f"Panels that take longer to load than the adhesive's {bench.adhesive.assembly} min are glued in {parts} "
            "sections, which are joined."
        )
    keys: list[list[str]] = []
    for n, section in enumerate(sections, start=1):
        after = list(dict.fromkeys(key for part in section.of for key in keys[part])) or list(before)
        if section.things == 1:
            keys.append(list(before))
            continue
        words, suffix = f"Glue {said}", ""
        if len(sections) > 1:
            words = f"Join the sections of {said}" if section.of else f"Glue section {n} of {parts} of {said}"
            suffix = f"/join/{n - parts}" if section.of else f"/{n}"
        keys.append([_load(one, panel, section, length, name + suffix, words, after)])
    return keys[-1]


def _load(
    one: OneBoard, panel: GluePanel, section: Section, length: Length, name: str, words: str, after: Sequence[str]
) -> str:
    bench = one.bench
    return one.add(
        "panel",
        name,
        words,
        bench.minutes("panel", {"panel_glue": 1, "panel_joint": section.things - 1}),
        hold=bench.adhesive.clamped,
        uses=pressed(one, panel.width_of(section.first, section.end), length, words),
        first=(
            f"dry count: {section.things} {'sections' if section.of else 'strips'}, in the row's order",
            *by_the_sheet(one),
            PRESSED,
        ),
        writes=("grain mark across all strips", f"panel number {panel.number}", "face side"),
        ends=CLAMPS_OFF,
        after=after,
    )


def _sliced(one: OneBoard, flat: dict[int, list[str]]) -> dict[int, str]:
    """Slices in lots of panels: the lot each panel's slices are cut in."""
    bench, panels = one.bench, one.board.panels
    setting = Fraction(one.board.stop_settings, len(panels))
    minutes = [bench.minutes("slice", {"slice": panel.slices, "stop_change": setting}) for panel in panels]
    lots = lots_of([summed(each) for each in minutes], bench.lot)
    found: dict[int, str] = {}
    last: list[str] = []
    for n, (first, end, taken) in enumerate(lots, start=1):
        numbers = [panel.number for panel in panels[first:end]]
        of_lot = together(minutes[first:end])
        whole = summed(of_lot)
        words = listed(numbers).replace("row", "panel")
        key = one.add(
            "slice",
            str(n),
            f"Crosscut slices of {words}" + (f", lot {n} of {len(lots)}" if len(lots) > 1 else ""),
            scaled(of_lot, taken / whole) if whole else (),
            first=("a line along each panel's face, so that every slice is turned the same way",),
            writes=("row number and which face is up",),
            after=[*last, *dict.fromkeys(before for number in numbers for before in flat[number])],
        )
        last = [key]
        found.update(dict.fromkeys(numbers, key))
    return found
