"""Standard times by counts: how long a board takes this maker, operation by operation.

The defaults are assumptions from memory, to be put right by the maker. One fact to hold them to (common
practice, no source): crosscutting about 150 small tiles from prepared strips takes an experienced maker about
two hours, set-up included.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from planner.build import Build, detail_minutes
from planner.cutting import LumberNeed
from planner.errors import PlannerError
from planner.figures import Figure, Term


@dataclass(frozen=True, slots=True)
class Operation:
    """One kind of work: what is counted, and the minutes each takes until the maker says otherwise."""

    key: str
    words: str
    each: str
    default: Fraction


OPERATIONS = (
    Operation("setup_job", "Getting ready: drawings, wood, saw and sled", "batch", Fraction(45)),
    Operation("rip_strip", "Milling, ripping and gauging strips", "strip", Fraction(3)),
    Operation("crosscut", "Crosscutting parts", "cut", Fraction(1, 2)),
    Operation("row_glue", "Gluing rows", "row", Fraction(4)),
    Operation("joint", "Laying joints in rows", "joint", Fraction(1, 4)),
    Operation("row_join", "Dressing and joining rows", "joint", Fraction(6)),
    Operation("strip", "Fitting borders along the rows", "border", Fraction(8)),
    Operation("sand_dm2", "Flattening and sanding, both faces", "dm²", Fraction(3)),
    Operation("oil_dm2", "Oiling, both faces", "dm²", Fraction(1)),
    Operation("stop_change", "Setting the stop", "setting", Fraction(2)),
    # Panels, and what mends a weak seam. A board of tiles or runs has none of these.
    Operation("panel_glue", "Gluing panels", "panel", Fraction(10)),
    Operation("panel_joint", "Laying strips in panels", "joint", Fraction(1)),
    Operation("panel_dm2", "Flattening panels, both faces", "dm²", Fraction(1, 2)),
    Operation("slice", "Crosscutting slices from panels", "slice", Fraction(1)),
    Operation("end_grain_dm2", "Flattening end grain by router or sanding, both faces", "dm²", Fraction(3)),
    Operation("back_key", "Letting keys into the back", "key", Fraction(12)),
    Operation("backing_dm2", "Gluing on a backing and its balance", "dm²", Fraction(1)),
    # Minutes of each detail are the workshop's; what is counted are those that were planned.
    Operation("detail_min", "Edges, handles and other details", "planned minute", Fraction(1)),
)
DEFAULT_TIMES: Mapping[str, Fraction] = {operation.key: operation.default for operation in OPERATIONS}
MM2_PER_DM2 = 10_000


def count_operations(build: Build, lumber: LumberNeed) -> dict[str, Fraction]:
    """How often each operation is done for all copies: getting ready and stop settings once, the rest for each.

    Strips and crosscuts are those of the lumber, spares and the squaring of each strip's end with them; both faces
    of the finished board are sanded and oiled, in square decimetres, its edges not counted. Details are counted in
    planned minutes, where there are any. Raises BuildError for those that do not fit.
    """
    minutes = detail_minutes(build) * build.spec.quantity
    return _count(build, lumber) | ({"detail_min": minutes} if minutes else {})


def _count(build: Build, lumber: LumberNeed) -> dict[str, Fraction]:
    copies = build.spec.quantity
    faces = 2 * build.finished_length.mm * build.finished_height.mm / MM2_PER_DM2
    counts = build.counts
    if build.panels:
        return _count_of_panels(build, lumber, faces * copies)
    return {
        "setup_job": Fraction(1),
        "rip_strip": Fraction(sum(need.strips for need in lumber.woods)),
        "crosscut": Fraction(sum(need.crosscuts for need in lumber.woods)),
        "row_glue": Fraction(counts.rows_glued * copies),
        "joint": Fraction(counts.joints_in_rows * copies),
        "row_join": Fraction(counts.row_joints * copies),
        "strip": Fraction(counts.border_strips * copies),
        "sand_dm2": faces * copies,
        "oil_dm2": faces * copies,
        "stop_change": Fraction(counts.stop_settings),
    }


def _count_of_panels(build: Build, lumber: LumberNeed, faces: Fraction) -> dict[str, Fraction]:
    """Strips are ripped as long as their panels and not crosscut; the slices are, spares with them. Panels are
    flattened on both faces, and the blank besides, where no planer helps."""
    panels = build.panels
    flat = sum((2 * panel.total.mm * panel.width.mm for panel in panels), Fraction(0)) / MM2_PER_DM2
    return {
        "setup_job": Fraction(1),
        "rip_strip": Fraction(sum(need.strips for need in lumber.woods)),
        "row_join": Fraction(build.counts.row_joints * build.spec.quantity),
        "sand_dm2": faces,
        "oil_dm2": faces,
        "stop_change": Fraction(build.counts.stop_settings),
        "panel_glue": Fraction(sum(panel.count for panel in panels if panel.joints)),
        "panel_joint": Fraction(sum(panel.joints for panel in panels)),
        "panel_dm2": flat,
        "slice": Fraction(sum(panel.slices for panel in panels)),
        "end_grain_dm2": faces,
    }


def likely_minutes(
    times: Mapping[str, Fraction], counts: Mapping[str, Fraction], said: Mapping[str, str] | None = None
) -> Figure:
    """Minutes in all: the sum over the operations of count × time, a term an operation that is counted.

    An operation without a time takes its default, one without a count is not done. ``said`` tells of an operation
    where its time is from. Raises PlannerError, naming the
    operation, for a time below nought and for an operation that is not among OPERATIONS. The worked example of a
    16 by 16 board comes to 667 minutes:

    >>> board = dict(setup_job=1, rip_strip=10, crosscut=256, row_glue=16, joint=240, row_join=15, strip=6,
    ...              sand_dm2=50, oil_dm2=50, stop_change=1)
    >>> likely_minutes(DEFAULT_TIMES, board).value
    Fraction(667, 1)
    """
    for name in (*times, *counts):
        if name not in DEFAULT_TIMES:
            raise PlannerError(f"There is no operation called “{name}”.", mend=f"Use {', '.join(DEFAULT_TIMES)}.")
    terms = []
    total = Fraction(0)
    for operation in OPERATIONS:
        time = times.get(operation.key, operation.default)
        if time < 0:
            raise PlannerError(
                f"“{operation.words}” takes less than nought.", mend="Write minutes of 0 or more.", field=operation.key
            )
        if operation.key not in counts:
            continue
        count = Fraction(counts[operation.key])
        minutes = count * time
        total += minutes
        terms.append(
            Term(
                operation.words,
                Figure(
                    minutes,
                    "min",
                    f"{operation.each} × minutes",
                    terms=(
                        Term("Counted", Figure(count, operation.each, "from the parts and the lumber")),
                        Term(
                            "Minutes each",
                            Figure(time, "min each", (said or {}).get(operation.key, "the workshop's settings")),
                        ),
                    ),
                ),
            )
        )
    return Figure(
        total,
        "min",
        "sum over the operations of count × minutes",
        "the workshop's standard times",
        tuple(terms),
    )
