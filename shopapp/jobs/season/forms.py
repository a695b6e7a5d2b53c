"""Which jobs are shown, and the day a season is looked at for; all of it stands in the address."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django import forms

from shopapp.common.forms import ShopForm
from shopapp.jobs.models import Job

KINDS = {
    "": "Every kind",
    Job.Kind.GIFT: "Gifts",
    Job.Kind.COMMISSION: "Commissions",
    Job.Kind.SALE: "For sale",
    Job.Kind.REPAIR: "Repairs",
    Job.Kind.REMAKE: "Remakes",
    Job.Kind.COMPLAINT: "Complaints",
}
# What a state is called in an address, and the job's own states it stands for.
STATES = {
    "": ("In hand", (Job.State.PLANNED, Job.State.UNDER_WAY, Job.State.FINISHED)),
    "planned": ("Not begun", (Job.State.PLANNED,)),
    "begun": ("Under way", (Job.State.UNDER_WAY,)),
    "finished": ("Finished", (Job.State.FINISHED,)),
    "closed": ("Handed over or called off", (Job.State.HANDED_OVER, Job.State.CALLED_OFF)),
}


class SeasonForm(ShopForm):
    by = forms.DateField(
        label="Every board due by",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "This is no day. Write it as 2026-12-18."},
        help_text="A fair, or a feast: how many of the boards fit before it.",
    )

    def __init__(self, data: Mapping[str, str], today: date, by: date | None) -> None:
        asked = data.get("by", "").strip()[:20]
        super().__init__({"by": asked or (by.isoformat() if by else "")}, auto_id="season_%s")
        self.today = today

    def clean_by(self) -> date | None:
        by = self.cleaned_data["by"]
        if by is not None and by < self.today:
            raise forms.ValidationError("This day is over. Name today or a later one.")
        return by


def chosen(data: Mapping[str, str]) -> tuple[str, str]:
    """The kind and the state that are shown; every kind, and what is in hand, where nothing that is known is asked."""
    kind, state = data.get("kind", ""), data.get("state", "")
    return kind if kind in KINDS else "", state if state in STATES else ""
