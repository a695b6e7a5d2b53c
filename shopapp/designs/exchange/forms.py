"""A pattern brought in: from a file or as text, and what each of its marks stands for."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm

from .legend import BACKGROUND, LegendLine
from .planning import KINDS, MOST_BYTES

KIND_WORDS = {
    "runs": "rows of runs, like “2 -, 3 beech”",
    "tabs": "cells divided by tabs, as from a spreadsheet",
    "commas": "cells divided by commas",
    "semicolons": "cells divided by semicolons",
    "blanks": "cells divided by blanks",
    "letters": "one letter a cell, a blank too",
}


class PatternInForm(ShopForm):
    """``legend`` are the marks that are asked about; each gets a field that gives it a wood or background."""

    name = forms.CharField(
        label="Name",
        max_length=80,
        help_text="What you would call the board.",
        error_messages={"required": "Give the design a name, so that you find it again."},
    )
    file = forms.FileField(
        label="A file",
        required=False,
        help_text="The PNG or JSON of a pattern as Kerfstead writes it, or a text file of a grid. At most 1 MB.",
        widget=forms.FileInput(attrs={"accept": ".png,.json,.txt,.csv,.tsv,image/png,application/json,text/plain"}),
    )
    text = forms.CharField(
        label="Or its rows, pasted",
        required=False,
        strip=False,
        max_length=MOST_BYTES,
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false", "autocomplete": "off", "wrap": "off"}),
        help_text="A line a row, from a spreadsheet, a text editor, or as runs: “2 -, 3 beech”.",
    )
    kind = forms.ChoiceField(
        label="The rows are",
        required=False,
        choices=[("", "read as they look"), *((kind, KIND_WORDS[kind]) for kind in KINDS)],
    )

    def __init__(
        self,
        *args,
        new_design: bool,
        legend: list[LegendLine] | None = None,
        woods: list[tuple[str, str]] | None = None,
        **kwargs,
    ) -> None:
        super().__init__(*args, **kwargs)
        if not new_design:
            self.fields["name"].required = False
            self.fields["name"].label = "Name of this drawing"
            self.fields["name"].max_length = 60
            self.fields["name"].widget.attrs["maxlength"] = "60"
            self.fields["name"].help_text = "Not needed; it has its number."
        self.legend = legend or []
        choices = [("", "choose…"), (BACKGROUND, "background"), *(woods or [])]
        for i, line in enumerate(self.legend):
            self.fields[f"wood_{i}"] = forms.ChoiceField(
                label=line.label,
                choices=choices,
                initial=line.guess,
                error_messages={
                    "required": "Choose what it stands for: a wood, or background.",
                    "invalid_choice": "This wood is not among yours any more. Choose another one.",
                },
            )

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if len(name) > self.fields["name"].max_length:
            raise forms.ValidationError(f"This is too long: {len(name)} letters. Write at most 60.")
        return name

    def clean_file(self):
        upload = self.cleaned_data["file"]
        if upload and upload.size > MOST_BYTES:
            raise forms.ValidationError("The file is larger than 1 MB, and no pattern is. Choose another one.")
        return upload

    def legend_fields(self):
        """Each mark beside the field that gives it a wood."""
        return [(line, self[f"wood_{i}"]) for i, line in enumerate(self.legend)]

    def meaning(self) -> dict[str, str | None]:
        """What each mark stands for, as chosen."""
        chosen = ((line.mark, self.cleaned_data[f"wood_{i}"]) for i, line in enumerate(self.legend))
        return {mark: None if wood == BACKGROUND else wood for mark, wood in chosen}
