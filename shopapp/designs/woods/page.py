"""The page that matches woods: ways to choose, a wood for each colour, the choice as it stands, how few would do."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

from planner.errors import PlannerError
from shopapp.designs.models import Design
from shopapp.lumber.planning import WoodLook
from shopapp.workshop.models import Workshop

from . import planning
from .forms import NOTHING, ColourRow, NearGroup, WoodsForm
from .readers import WoodChoices
from .say import Say
from .weighing.planning import ScoreLines, WoodCost, WoodReckoner, amount, in_one, score_lines
from .words import WAYS, in_words, melting_in_words


@dataclass(frozen=True)
class Way:
    """One choice of woods to be taken: how it looks, how it scores, what it takes."""

    name: str
    place: str
    pattern: planning.Pattern
    looks: dict[str | None, WoodLook]
    title: str
    scores: ScoreLines
    how: dict
    counts: list[tuple[str, str, int]]
    cost: WoodCost
    suggested: bool
    chosen: bool

    @property
    def drawing(self) -> str:
        """Drawn only where it is shown: most live answers leave it out."""
        return planning.thumbnail(self.pattern, self.looks, self.title)


@dataclass(frozen=True)
class FewRow:
    """The best choice with so many woods, and what it buys over the one before."""

    place: str
    count: int
    names: str
    comes_in: str
    goes_out: str
    scores: ScoreLines
    legible: bool
    reads: str
    cost: WoodCost
    chosen: bool

    @property
    def kept(self) -> int:
        return self.scores.kept


@dataclass(frozen=True)
class Preview:
    """The choice as it stands: drawn, counted and weighed, or in words why it cannot be."""

    drawing: str = ""
    marked: bool = True
    counts: tuple[tuple[str, str, int], ...] = ()
    size: str = ""
    behind: str = ""
    trouble: str = ""
    scores: ScoreLines | None = None
    cost: WoodCost | None = None
    melts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def spoken(self) -> str:
        if self.trouble:
            return self.trouble
        tiles = ", ".join(f"{name} {count}" for name, _, count in self.counts)
        kept = f" {self.scores.kept} of 100 parts of the edges kept." if self.scores else ""
        return f"{self.size}: {tiles}.{kept}"


@dataclass
class WoodsPage:
    """Everything the page that chooses woods shows. ``workshop`` is None for whoever is shown no prices."""

    design: Design
    choices: WoodChoices
    form: WoodsForm
    workshop: Workshop | None
    say: Say = field(init=False)

    def __post_init__(self) -> None:
        self.say = self.form.say()

    # --- parts ---

    @cached_property
    def near(self) -> planning.Joined:
        return planning.joined(self.choices.grid, self.say.within, self.say.apart)

    @cached_property
    def worn(self) -> tuple[str, ...]:
        """The wood of every colour, near ones with the one they go with."""
        return tuple(self.say.woods[to] for to in self.near.joins)

    @cached_property
    def rows(self) -> list[ColourRow]:
        return self.form.rows(self.near)

    @cached_property
    def groups(self) -> list[NearGroup]:
        return self.form.groups(self.near)

    @property
    def carried(self) -> list[tuple[str, str]]:
        return self.form.carried(self.near)

    @property
    def all_colours(self) -> int:
        return len(self.choices.grid.colours)

    @property
    def rarer(self) -> int:
        """Colours that follow the nearest of those that can be chosen for."""
        return len(self.choices.grid.all_colours) - self.all_colours

    @property
    def of_another_grid(self) -> bool:
        return self.form.is_of_another_grid(self.design.grid_id)

    @property
    def unfolded(self) -> bool:
        """Whether something to mend stands in what is folded away."""
        return bool(self.form.is_bound and {"within", "behind"} & set(self.form.errors))

    @cached_property
    def bars(self) -> list[tuple[str, object]]:
        return [(planning.plank(self.looks[wood]), bound) for wood, bound in self.form.bars()]

    @cached_property
    def looks(self) -> dict[str | None, WoodLook]:
        found = {w: WoodLook(offer.name, offer.rgb, offer.mark) for w, offer in self.choices.offers.items()}
        behind = found.get(self.say.behind)
        return {**found, None: behind} if behind else found

    @cached_property
    def reckoner(self) -> WoodReckoner | None:
        return WoodReckoner(self.workshop, self.choices.offers, self.say.behind) if self.workshop else None

    @property
    def board(self):
        return self.reckoner.board if self.reckoner else None

    @property
    def unpriced(self) -> str:
        return in_words(self.reckoner.unpriced) if self.reckoner else ""

    @cached_property
    def cost_trouble(self) -> str:
        """Why no cost stands at any of the ways, told once."""
        costs = [way.cost for way in self.ways]
        return costs[0].trouble if costs and all(cost.trouble for cost in costs) else ""

    def _cost(self, woods: Sequence[str]) -> WoodCost:
        if self.reckoner is None:
            return WoodCost()
        return self.reckoner.cost_of(self.choices.grid.pattern(woods, self._margin))

    @cached_property
    def _margin(self) -> int:
        """The margin asked for, or none where the pattern would grow past the limit with it."""
        try:
            self.choices.grid.pattern(self.worn, self.say.margin)
        except PlannerError:
            return 0
        return self.say.margin

    def _counts(self, counts: dict[str, int], background: int) -> tuple[tuple[str, str, int], ...]:
        rows = sorted(((self.looks[w].name, w, n) for w, n in counts.items()), key=lambda one: -one[2])
        drawn = [(name, planning.plank(self.looks[wood]), count) for name, wood, count in rows]
        return (*drawn, *([("background", "", background)] if background else []))

    # --- the ways to choose ---

    @cached_property
    def _matched(self) -> tuple[list[planning.Matched], str]:
        if not self.choices.woods or not self.all_colours:
            return [], ""
        try:
            return planning.matched(self.choices.grid, self.say, self.choices.colours_of_woods), ""
        except PlannerError as error:
            return [], str(error)

    @property
    def ways_trouble(self) -> str:
        return self._matched[1]

    @cached_property
    def ways(self) -> list[Way]:
        found = self._matched[0]
        return [self._way(one, name) for one, name in zip(found, WAYS.get(len(found), ()), strict=True)]

    def _way(self, one: planning.Matched, name: str) -> Way:
        pattern = self.choices.grid.pattern(one.woods, self._margin)
        counts = sorted(pattern.counts().items(), key=lambda pair: -pair[1])
        return Way(
            name=name,
            place=f"line-{one.price}",
            pattern=pattern,
            looks=self.looks,
            title=f"{self.design.name}, {name.lower()}",
            scores=score_lines(one.scores),
            how=in_one(one.scores),
            counts=[(self.looks[wood].name, self.looks[wood].fill, n) for wood, n in counts],
            cost=self.reckoner.cost_of(pattern) if self.reckoner else WoodCost(),
            suggested=one.suggested,
            chosen=one.woods == self.worn,
        )

    @cached_property
    def _few(self) -> list[planning.Matched]:
        if not self._matched[0]:
            return []
        return planning.matched_with_few(self.choices.grid, self.say, self.choices.colours_of_woods)

    @cached_property
    def fewest(self) -> list[FewRow]:
        rows: list[FewRow] = []
        before: set[str] = set()
        for one in self._few:
            worn = {wood for wood in one.woods if wood}
            names = self._names(worn)
            rows.append(
                FewRow(
                    place=f"few-{one.count}",
                    count=one.count,
                    names=names,
                    comes_in=self._names(worn - before) if before else names,
                    goes_out=self._names(before - worn),
                    scores=score_lines(one.scores),
                    legible=one.legible,
                    reads=planning.reads(one),
                    cost=self._cost(one.woods),
                    chosen=one.woods == self.worn,
                )
            )
            before = worn
        return rows

    def _names(self, woods: set[str]) -> str:
        return in_words([offer.name for wood, offer in self.choices.offers.items() if wood in woods])

    @property
    def least(self) -> FewRow | None:
        return next((row for row in self.fewest if row.legible), None)

    @property
    def one_more(self) -> FewRow | None:
        """What one more wood than the least would buy."""
        if self.least is None:
            return None
        return next((row for row in self.fewest if row.count > self.least.count), None)

    @property
    def bought(self) -> str:
        """In words, what one more wood than the least keeps."""
        least, more = self.least, self.one_more
        if least is None or more is None:
            return ""
        if more.kept > least.kept:
            return f"keeps {more.kept} instead of {least.kept} of 100 parts of the edges"
        if amount(more.scores.order) > amount(least.scores.order):
            return "keeps no more of the edges, but more lights in order"
        if amount(more.scores.off) < amount(least.scores.off):
            return "keeps no more of the edges, but comes nearer to the colours"
        return "keeps no more of the picture"

    @property
    def more_named(self) -> str:
        """How many more woods than the least are next to buy anything, named."""
        least, more = self.least, self.one_more
        if least is None or more is None:
            return ""
        number = more.count - least.count
        return f"One more, {more.comes_in}" if number == 1 else f"One more buys nothing; {number} more, {more.comes_in}"

    @property
    def no_more(self) -> str:
        """In words, why no wood more than the least is offered; empty where one is, or nothing keeps the picture."""
        if self.least is None or self.one_more is not None:
            return ""
        left = self.choices.offers.keys() - self.say.barred
        if self.least.count >= len(left):
            out = " that are not left out" if len(left) < len(self.choices.offers) else ""
            one = "It is the only wood" if len(left) == 1 else "These are all the woods"
            return f"{one} on hand{out}, so there is no more to be had."
        if self.least.count >= planning.MOST_COUNTED:
            return f"More than {planning.MOST_COUNTED} are not tried."
        if self.least.count >= len(self.near.leaders):
            return "Every colour has a wood of its own, so one more would buy nothing."
        return "One more would buy nothing: no other wood on hand comes nearer to the picture."

    @property
    def dearer(self) -> Decimal | None:
        """How much more the wood costs with one more of them; below nought for less, None where it is not known."""
        least, more = self.least, self.one_more
        if least is None or more is None or least.cost.amount is None or more.cost.amount is None:
            return None
        return more.cost.amount - least.cost.amount

    def taken(self, place: str) -> tuple[str, ...] | None:
        """The woods of the way or of the few woods at ``place``; None where there is none such now."""
        kind, _, where = place.partition("-")
        if kind == "line":
            return next((one.woods for one in self._matched[0] if str(one.price) == where), None)
        return next((one.woods for one in self._few if kind == "few" and str(one.count) == where), None)

    @property
    def taken_places(self) -> str:
        """Where the choice as it stands is found among those matched, for the page to mark."""
        return " ".join(one.place for one in (*self.ways, *self.fewest) if one.chosen)

    # --- what the answer of a live change leaves out because the page shows it already ---

    @cached_property
    def ways_shown(self) -> str:
        asked = planning.key_of(self.choices.grid, self.say, self.choices.colours_of_woods)
        return _short_hash(asked, self._margin, self.ways_trouble, [way.cost for way in self.ways])

    @cached_property
    def rows_shown(self) -> str:
        faulty = [row.number for row in self.rows if row.wood.errors]
        return _short_hash(self.choices.grid.sha256, self.near, faulty)

    # --- the choice as it stands ---

    @cached_property
    def preview(self) -> Preview:
        if not self.choices.woods:
            return Preview(trouble="There are no woods on hand to choose from.")
        if not self.all_colours:
            return Preview(trouble=NOTHING)
        if troubles := self.form.troubles():
            return Preview(trouble=" ".join(troubles))
        grid, woods = self.choices.grid, self.choices.colours_of_woods
        try:
            pattern = grid.pattern(self.worn, self.say.margin)
        except PlannerError as error:
            return Preview(trouble=str(error))
        drawing, marked = planning.drawing_of(pattern, self.looks, f"{self.design.name} in the woods chosen")
        return Preview(
            drawing=drawing,
            marked=marked,
            counts=self._counts(pattern.counts(), pattern.background),
            size=f"{pattern.height} rows of {pattern.width}",
            behind=self.looks[self.say.behind].name if self.say.behind in self.looks else "",
            scores=score_lines(planning.judged(grid, self.worn, woods, self.say.behind)),
            cost=self.reckoner.cost_of(pattern) if self.reckoner else None,
            melts=melting_in_words(
                planning.melts(grid, self.worn, woods, self.say.behind),
                {wood: look.name for wood, look in self.looks.items()},
            ),
            notes=self._notes(),
        )

    def _notes(self) -> tuple[str, ...]:
        """Woods left out that a colour still wears."""
        still = [
            (i + 1, self.looks[wood].name)
            for i, wood in enumerate(self.worn)
            if wood in self.say.barred and self.near.joins[i] == i
        ]
        return tuple(f"Colour {number} is still in {name}, which is left out this time." for number, name in still[:5])


def _short_hash(*parts: object) -> str:
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:16]
