"""What the choice of woods starts from: the grid's colours, the woods on hand, and what was kept or is suggested."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopapp.common.images import image_bytes
from shopapp.designs.models import Design, PatternVersion
from shopapp.lumber.planning import WoodOffer, offers

from . import planning
from .say import Say, record_of, say_from
from .words import counted


@dataclass(frozen=True)
class WoodChoices:
    """What the choice of woods starts from: the grid's colours, the woods on hand, and what was kept or is suggested.
    ``told`` says in words where that differs from what was kept."""

    grid: planning.StoredGrid
    grid_png: bytes
    offers: dict[str, WoodOffer]
    start: Say
    newest: PatternVersion | None
    told: tuple[str, ...] = ()

    @property
    def woods(self) -> list[tuple[str, str]]:
        return [(offer.wood, offer.name) for offer in self.offers.values()]

    @property
    def suggestion(self) -> list[str]:
        return list(self.start.woods)

    @property
    def margin(self) -> int:
        return self.start.margin

    @property
    def colours_of_woods(self) -> dict[str, tuple[int, int, int]]:
        return {wood: offer.rgb for wood, offer in self.offers.items()}

    def record(self, say: Say, grid_id: int | None) -> dict[str, object]:
        return record_of(say, self.grid.names, planning.joined(self.grid, say.within, say.apart).joins, grid_id)


def wood_choices(design: Design) -> WoodChoices:
    """Three queries: the woods on hand, the newest drawing, and the newest whose woods were chosen here."""
    png = image_bytes(design.grid)
    grid = planning.StoredGrid(png)
    on_hand = offers()
    drawings = design.versions.defer("pattern").order_by("-number")
    newest = drawings.select_related("kept_by").first()
    chosen = newest if newest is not None and newest.choices else drawings.filter(made="woods").first()
    start = _first_say(grid, on_hand)
    told: list[str] = []
    if chosen is not None and on_hand:
        start, told = _from_kept(chosen, grid, on_hand, start, design)
        if newest is not None and newest.pk != chosen.pk:
            told.append(
                f"Drawing {newest.number} was not made here; what stands below are the woods of drawing "
                f"{chosen.number}. What you keep is another drawing beside it."
            )
    return WoodChoices(grid, png, on_hand, start, newest, tuple(told))


def _first_say(grid: planning.StoredGrid, on_hand: dict[str, WoodOffer]) -> Say:
    colours = {wood: offer.rgb for wood, offer in on_hand.items()}
    blank = Say(
        woods=("",) * len(grid.colours),
        behind=planning.lightest(colours),
        margin=1 if grid.lacks_side_background and grid.may_grow else 0,
    )
    if not colours or not grid.colours:
        return blank
    first = _suggested(grid, blank, colours)
    # A picture in the wood it stands before loses its outline there: then a light wood it is not in, if that is better.
    unused = planning.lightest({wood: rgb for wood, rgb in colours.items() if wood not in first}, at_least=True)
    if blank.behind in first and unused:
        kept, would = (planning.judged(grid, first, colours, wood).legibility for wood in (blank.behind, unused))
        if would > kept:
            blank = replace(blank, behind=unused)
            first = _suggested(grid, blank, colours)
    return replace(blank, woods=first)


def _suggested(grid: planning.StoredGrid, blank: Say, colours: dict[str, tuple[int, int, int]]) -> tuple[str, ...]:
    """The woods to begin with. What is background is settled, so the colours begin in some wood."""
    found = planning.matched(grid, replace(blank, woods=(blank.behind,) * len(blank.woods)), colours)
    return next(one.woods for one in found if one.suggested)


def _from_kept(
    chosen: PatternVersion, grid: planning.StoredGrid, on_hand: dict[str, WoodOffer], start: Say, design: Design
) -> tuple[Say, list[str]]:
    say, unknown = say_from(chosen.choices, grid.names, start.woods, start)
    told = []
    if unknown:
        told.append(
            f"The grid was corrected since drawing {chosen.number}: {counted(unknown, 'colour is', 'colours are')} new "
            "and in the wood suggested, the others in what was chosen."
        )
    gone = sorted({wood for wood in say.woods if wood and wood not in on_hand})
    if gone:
        told.append(
            f"{counted(len(gone), 'wood', 'woods')} of drawing {chosen.number} {'is' if len(gone) == 1 else 'are'} not "
            "on hand any more; the colours in it are in the wood suggested."
        )
        say = replace(say, woods=tuple(w if not w or w in on_hand else start.woods[i] for i, w in enumerate(say.woods)))
    if say.behind not in on_hand:
        say = replace(say, behind=start.behind)
    return replace(say, barred=say.barred & set(on_hand)), told
