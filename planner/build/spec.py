"""What is asked of a board, and what is refused before anything is worked out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.build.words import ALONG
from planner.errors import PlannerError
from planner.measures import ZERO, Length
from planner.shop import Shop

# A knife board is not among them: a face-grain mosaic is never offered as one.
USES = ("wall", "serving", "trivet")
# One piece a tile; one piece a run of neighbouring tiles; the same with equal neighbouring rows made as one; rows
# sliced off panels, end grain up.
METHODS = ("tiles", "runs", "deep", "panels")


class BuildError(PlannerError):
    """The board cannot be built as asked."""


@dataclass(frozen=True, slots=True)
class BoardSpec:
    """Sizes are finished sizes. ``border_wood`` is also the wood of the picture's background.

    ``along`` says what of the picture is glued as a row: "rows", or "columns" where rows stand upright as the board
    hangs. ``side_border`` is the width of the plain wood at each end of the rows, glued in them; ``end_border`` the
    depth of each border along the rows. Either may be nought. Where rows stand upright the side borders hang at top and
    bottom and the others at left and right: everything turns.

    >>> mm = Length.of_mm
    >>> BoardSpec("wall", mm(20), mm(18), mm(30), mm(25), "runs", 1, "sycamore").pitch
    Length('20 mm')
    """

    use: str
    pitch: Length
    thickness: Length
    side_border: Length
    end_border: Length
    method: str
    quantity: int
    border_wood: str
    along: str = "rows"
    # Keys of what is done to it once it is cut to size (``planner.build.DETAILS``).
    details: tuple[str, ...] = ()

    def turned(self) -> BoardSpec:
        """The same board as it hangs, built with its rows the other way.

        >>> mm = Length.of_mm
        >>> upright = BoardSpec("wall", mm(20), mm(18), mm(30), mm(25), "runs", 1, "sycamore").turned()
        >>> upright.along, upright.side_border, upright.end_border
        ('columns', Length('25 mm'), Length('30 mm'))
        """
        other = next(along for along in ALONG if along != self.along)
        return replace(self, along=other, side_border=self.end_border, end_border=self.side_border)


def check_spec(spec: BoardSpec, method: str, shop: Shop) -> None:
    """Raises BuildError for what no pattern could mend."""
    if spec.use == "knife":
        raise BuildError(
            "A face-grain mosaic is not offered as a knife board.",
            mend="Make it to hang, to serve dry food on, or as a trivet.",
            field="use",
        )
    if spec.use not in USES:
        raise BuildError(f"There is no use called “{spec.use}”.", mend=f"Choose one of {', '.join(USES)}.", field="use")
    if method not in METHODS:
        raise BuildError(
            f"There is no build method called “{method}”.",
            mend=f"Choose one of {', '.join(METHODS)}.",
            field="method",
        )
    if spec.along not in ALONG:
        raise BuildError(
            f"Rows do not run along “{spec.along}”.", mend=f"Choose one of {', '.join(ALONG)}.", field="along"
        )
    if spec.quantity < 1:
        raise BuildError("No board is asked for.", mend="Ask for one at least.", field="quantity")
    if spec.thickness <= ZERO:
        raise BuildError("The board has no thickness.", mend="Write one of more than nought.", field="thickness")
    for field in ("side_border", "end_border"):
        if getattr(spec, field) < ZERO:
            raise BuildError("A border is less than nought.", mend="Write nought for none.", field=field)
    if spec.pitch <= shop.crosscut_kerf:
        raise BuildError(
            f"A pitch of {shop.says(spec.pitch)} is no more than the "
            f"{shop.says(shop.crosscut_kerf)} the crosscut blade takes.",
            mend="Choose a wider pitch.",
            field="pitch",
        )
    _check_glue(spec, shop)


def _check_glue(spec: BoardSpec, shop: Shop) -> None:
    """Glue takes half its line off every glued face: a tile has two across and two along, a border one."""
    if spec.pitch <= shop.glue_line:
        raise BuildError(
            f"A pitch of {shop.says(spec.pitch)} is no more than the {shop.says(shop.glue_line)} of a glue line, "
            "which leaves nothing of a tile.",
            mend="Choose a wider pitch, or measure the glue line in the workshop's allowances again.",
            field="pitch",
        )
    half = shop.glue_line / 2
    for field in ("side_border", "end_border"):
        border = getattr(spec, field)
        if ZERO < border <= half:
            raise BuildError(
                f"A border of {shop.says(border)} is no more than the {shop.says(half)} its glue takes.",
                mend="Make it wider, or nought for none.",
                field=field,
            )
