"""A wood for each colour of the grid, and what the rest is to be matched around."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django import forms

from shopapp.common.fields import CountFormField
from shopapp.common.forms import SeenVersionField, ShopForm

from .planning import GridColour, Joined
from .say import BACKGROUND, Say

NOT_ON_HAND = "This wood is not on hand any more. Choose one of the woods on hand."
NOTHING = (
    "There is nothing but background in this grid. Make part of it filled again where the grid is confirmed, or bring "
    "another picture."
)
MOST_WITHIN = 40


@dataclass(frozen=True)
class ColourRow:
    """A colour beside the fields that give it a wood, with the near ones that go with it."""

    number: int
    colour: GridColour
    wood: forms.BoundField
    stays: forms.BoundField
    joined: list[GridColour]

    @property
    def tiles(self) -> int:
        return self.colour.cells + sum(colour.cells for colour in self.joined)


@dataclass(frozen=True)
class NearGroup:
    """Colours that would be made one, and the field that keeps them apart."""

    number: int
    leader: GridColour
    others: list[GridColour]
    numbers: list[int]
    apart: forms.BoundField


class WoodsForm(ShopForm):
    """Fields are named by their colour's six digits, so that what was chosen for a colour is found again in a grid
    that was corrected meanwhile; a colour that was not asked about keeps what ``start`` has for it."""

    grid = SeenVersionField(required=False)
    within = CountFormField(
        label="Make colours one that are nearer than",
        least=0,
        most=MOST_WITHIN,
        help_text="0 leaves all as they are; 2 is just seen side by side, 10 at a glance.",
    )
    behind = forms.ChoiceField(
        label="Wood behind the picture",
        required=False,
        help_text="Border and background: the outline is told from it.",
        error_messages={"invalid_choice": NOT_ON_HAND},
    )
    margin = CountFormField(
        label="Background added on every side",
        least=0,
        most=20,
        help_text="In tiles. A side border needs background beside it to hold on to.",
    )

    def __init__(
        self,
        *args,
        colours: list[GridColour],
        woods: list[tuple[str, str]],
        start: Say,
        grid_id: int | None = None,
        **kwargs,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.colours, self.woods, self.start = colours, woods, start
        self.told: list[str] = []
        self.fields["grid"].initial = grid_id
        self.fields["within"].initial = start.within
        self.fields["margin"].initial = start.margin
        self.fields["behind"].initial = start.behind
        self.fields["behind"].choices = woods
        for i, colour in enumerate(colours):
            self._add_colour(i, colour)
        for wood, name in woods:
            self._tick(f"bar_{wood}", name, on=wood in start.barred)

    def _add_colour(self, i: int, colour: GridColour) -> None:
        tiles = f"{colour.cells} {'tile' if colour.cells == 1 else 'tiles'}"
        self.fields[f"wood_{colour.name}"] = forms.ChoiceField(
            label=f"Colour {i + 1}, {tiles}",
            choices=[*self.woods, (BACKGROUND, "background")],
            required=False,
            initial=self.start.woods[i] if i < len(self.start.woods) else BACKGROUND,
            error_messages={"invalid_choice": NOT_ON_HAND},
        )
        self._tick(f"stays_{colour.name}", f"Colour {i + 1} stays", on=i in self.start.stays)
        self._tick(f"apart_{colour.name}", f"Keep colour {i + 1} and these apart", on=i in self.start.apart)

    def _tick(self, name: str, label: str, *, on: bool) -> None:
        self.fields[name] = forms.BooleanField(label=label, required=False, initial=on)

    # --- what it holds ---

    def say(self) -> Say:
        """What the maker says, as far as it can be read; for the rest, what the page started from."""
        if not self.is_bound:
            return self.start
        self.is_valid()
        read = self.cleaned_data
        return replace(
            self.start,
            woods=tuple(self._wood(i, colour) for i, colour in enumerate(self.colours)),
            stays=self._ticked("stays"),
            apart=self._ticked("apart"),
            barred=frozenset(wood for wood, _ in self.woods if read.get(f"bar_{wood}")),
            within=read.get("within", self.start.within),
            behind=read.get("behind") or self.start.behind,
            margin=read.get("margin", self.start.margin),
        )

    def _wood(self, i: int, colour: GridColour) -> str:
        name = f"wood_{colour.name}"
        return self.cleaned_data.get(name, self.start.woods[i]) if name in self.data else self.start.woods[i]

    def _ticked(self, what: str) -> frozenset[int]:
        return frozenset(i for i, c in enumerate(self.colours) if self.cleaned_data.get(f"{what}_{c.name}"))

    def tell(self, words: str) -> None:
        """Say what came between, in the summary; what is chosen can be shown all the same."""
        self.add_error(None, words)
        self.told.append(words)

    def troubles(self) -> list[str]:
        """What stands in the way of showing what is chosen."""
        lines = self.summary() if self.is_bound else []
        return [
            f"{line['label']}: {line['message']}".lstrip(": ") for line in lines if line["message"] not in self.told
        ]

    def is_of_another_grid(self, grid_id: int | None) -> bool:
        """Whether the page this form came from showed another grid than the one there is now."""
        return self.is_bound and self.fields["grid"].clean(self.data.get("grid")) not in (0, grid_id)

    def taking(self, woods: Sequence[str]) -> None:
        """Put ``woods`` in the place of what was chosen, as if the maker had."""
        self.data = self.data.copy()
        for colour, wood in zip(self.colours, woods, strict=True):
            self.data[f"wood_{colour.name}"] = wood
        self._errors = None

    def clean(self) -> dict:
        cleaned = super().clean()
        if not self.colours:
            raise forms.ValidationError(NOTHING)
        if not self.errors and all(wood == BACKGROUND for wood in self._woods_now()):
            raise forms.ValidationError("Every colour is background. Give at least one colour a wood.")
        return cleaned

    def _woods_now(self) -> list[str]:
        return [self._wood(i, colour) for i, colour in enumerate(self.colours)]

    # --- how it is laid out ---

    def rows(self, near: Joined) -> list[ColourRow]:
        """Each colour that has a row of its own beside its fields."""
        return [
            ColourRow(
                i + 1,
                self.colours[i],
                self[f"wood_{self.colours[i].name}"],
                self[f"stays_{self.colours[i].name}"],
                [self.colours[k] for k, to in enumerate(near.joins) if to == i and k != i],
            )
            for i in near.leaders
        ]

    def carried(self, near: Joined) -> list[tuple[str, str]]:
        """Names and values of fields that are not shown now, of colours that go with another and of groups that are
        none at this nearness: unseen, but not forgotten."""
        say = self.say()
        names = [colour.name for colour in self.colours]
        away = [i for i, to in enumerate(near.joins) if to != i]
        shown = {group[0] for group in near.groups}
        return [
            *((f"wood_{names[i]}", say.woods[i]) for i in away),
            *((f"stays_{names[i]}", "on") for i in away if i in say.stays),
            *((f"apart_{names[i]}", "on") for i in sorted(say.apart - shown)),
        ]

    def groups(self, near: Joined) -> list[NearGroup]:
        return [
            NearGroup(
                first + 1,
                self.colours[first],
                [self.colours[i] for i in others],
                [i + 1 for i in others],
                self[f"apart_{self.colours[first].name}"],
            )
            for first, *others in near.groups
        ]

    def bars(self) -> list[tuple[str, forms.BoundField]]:
        return [(wood, self[f"bar_{wood}"]) for wood, _ in self.woods]

    def told_beside(self) -> list[forms.BoundField]:
        """Fields whose errors a live answer tells anew."""
        return [self["within"], self["behind"], self["margin"]]
