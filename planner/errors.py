"""The one error every step of the planner raises; specific ones live beside what raises them."""

from __future__ import annotations


class PlannerError(ValueError):
    """Something a maker asked for cannot be worked out as asked.

    ``what`` says what is wrong, ``mend`` what would put it right, and ``field`` names the input at
    fault (a field of the argument that carried it) so that a form can show the words beside it.

    >>> str(PlannerError("The pitch is 2 mm.", mend="Choose one wider than the 3 mm kerf."))
    'The pitch is 2 mm. Choose one wider than the 3 mm kerf.'
    """

    def __init__(self, what: str, *, mend: str = "", field: str = "") -> None:
        super().__init__(f"{what} {mend}".strip())
        self.what = what
        self.mend = mend
        self.field = field
