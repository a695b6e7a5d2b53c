"""What is typed when a picture is brought, and whose it is said to be."""

from __future__ import annotations

import re
from pathlib import Path

from django import forms

from shopapp.common.forms import ShopForm
from shopapp.designs.models import Design

LONGEST_NAME = 80
LONGEST_NOTE = 200
# Which field holds the words that belong to an answer; the others have none.
NOTES = {"open": "licence", "permission": "permission"}


class RightsForm(ShopForm):
    """Whose a picture is, with the words that belong to the answer: which licence, or whose permission.

    A field whose answer was not chosen counts for nothing, whatever was typed in it before.
    """

    rights = forms.ChoiceField(
        label="Whose is it?",
        choices=Design.RIGHTS,
        initial="unknown",
        help_text="It can be answered later; it is asked before a board from it is quoted or listed.",
        error_messages={"required": "Choose one of the answers; “not known” is one of them."},
    )
    licence = forms.CharField(
        label="Which licence",
        max_length=LONGEST_NOTE,
        required=False,
        help_text="Its name and whom it asks you to name, as it stands where the picture was found.",
    )
    permission = forms.CharField(
        label="Who gave the permission, and when",
        max_length=LONGEST_NOTE,
        required=False,
        help_text="So that it can be found again, for instance “by letter, 3 May”.",
    )

    def clean(self) -> dict:
        cleaned = super().clean()
        if cleaned.get("rights") == "open" and "licence" not in self.errors and not cleaned.get("licence"):
            self.add_error("licence", "Write which licence it is, or choose “not known” until you have found it.")
        return cleaned

    @property
    def note(self) -> str:
        """The words that belong to the answer."""
        return self.cleaned_data.get(NOTES.get(self.cleaned_data["rights"], ""), "")

    @staticmethod
    def initial_of(design: Design) -> dict[str, str]:
        """A design's answer as this form would show it."""
        note = {NOTES[design.rights]: design.rights_note} if design.rights in NOTES else {}
        return {"rights": design.rights, **note}


class BringForm(RightsForm):
    """A picture file, a name for what it will become, and whose the picture is."""

    name = forms.CharField(
        label="Name",
        max_length=LONGEST_NAME,
        required=False,
        help_text="What you would call the board. Left empty, it is called as the file is.",
    )
    picture = forms.FileField(
        label="Picture",
        help_text="A PNG, GIF, WebP or JPEG of at most 12 MB: pixel art, a screenshot, a blurred enlargement, a chart, "
        "or a photo of a page.",
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg,image/gif,image/webp"}),
        error_messages={
            "required": "Choose a picture file.",
            "empty": "The file is empty. Choose the picture again.",
            "missing": "Choose a picture file.",
        },
    )
    field_order = ["name", "picture", "rights", "licence", "permission"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        # Nobody is pressed: a picture comes in without an answer as well.
        self.fields["rights"].required = False

    def clean_rights(self) -> str:
        return self.cleaned_data["rights"] or "unknown"

    def clean(self) -> dict:
        cleaned = super().clean()
        picture = cleaned.get("picture")
        if picture and "name" in cleaned:
            cleaned["name"] = cleaned["name"] or name_of(picture.name)
            if not cleaned["name"]:
                self.add_error("name", "Give the design a name, so that you find it again.")
        if picture and self.errors:
            # The page comes back without it, and nobody would notice.
            self.add_error("picture", "Choose the picture again as well: a browser sends a file only once.")
        return cleaned


def name_of(file: str) -> str:
    """A file's name as words: without its ending, dashes and underscores as blanks; may be empty."""
    return re.sub(r"[\s_-]+", " ", Path(file).stem.strip("."))[:LONGEST_NAME].strip()


class AnswerForm(RightsForm):
    """The answer asked for before a board is quoted or listed; what stays a gift or unknown takes a reason."""

    reason = forms.CharField(
        label="Why it may be, all the same",
        max_length=300,
        required=False,
        help_text="Only where it stays unknown or a gift. It is kept with your name and the day.",
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        # Here it is not for later any more.
        self.fields["rights"].help_text = ""

    def clean(self) -> dict:
        cleaned = super().clean()
        if cleaned.get("rights") in ("unknown", "gift") and "reason" not in self.errors and not cleaned.get("reason"):
            self.add_error("reason", "Write why it may be all the same, or choose another answer above.")
        return cleaned

    @property
    def note(self) -> str:
        return super().note or (self.cleaned_data["reason"] if self.cleaned_data["rights"] not in NOTES else "")
