"""What is known of a job, and what is asked when a quote is accepted."""

from __future__ import annotations

from datetime import timedelta

from django import forms
from django.utils import timezone

from shopapp.common.forms import ShopForm
from shopapp.people.choosing import PersonField
from shopapp.plans.models import Plan
from shopapp.quotes.forms import day_field

from .actions import JobFacts
from .models import Job
from .words import day

# Longer ahead or behind, a slip of the year is likelier.
MOST_DAYS = 3660


class DueForm(ShopForm):
    """What a job is called and when it is due."""

    label = forms.CharField(label="What it is", max_length=80)
    due = day_field("Due", required=False, help_text="Empty where no day was promised.")

    def clean_due(self):
        due = self.cleaned_data["due"]
        if due and abs(due - timezone.localdate()) > timedelta(days=MOST_DAYS):
            raise forms.ValidationError("That is more than ten years from today. Look at the year.")
        return due


class AcceptedForm(DueForm):
    """A quote that was accepted in words or on paper: by whom, and which of its boards, ``options`` (place, words)."""

    name = forms.CharField(label="Who accepted it", max_length=80)
    option = forms.ChoiceField(label="Which one")
    field_order = ["name", "option", "label", "due"]

    def __init__(self, data=None, *, options: list[tuple[str, str]], **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.fields["due"].help_text = "Empty: the day the quote promises, if it does."
        if len(options) == 1:
            del self.fields["option"]
        else:
            self.fields["option"].choices = [("", "Choose one"), *options]


class JobForm(DueForm):
    """``plans`` are those to choose from; none where the plan is a quote's and stays."""

    kind = forms.ChoiceField(label="Kind", choices=Job.Kind.choices)
    for_whom = PersonField(label="For whom", required=False)
    way = forms.ChoiceField(
        label="How it gets there",
        required=False,
        choices=[("", "A gift in person, all else by carrier"), *Job.Way.choices],
        help_text="The carrier’s days count before the day it is due.",
    )
    plan = forms.ChoiceField(label="Kept plan", required=False, help_text="It can come later.")
    of = forms.ChoiceField(
        label="About which piece", required=False, help_text="Of a repair, a remake or a complaint; else none."
    )
    settled = forms.ChoiceField(
        label="Who bears it", required=False, choices=[("", "Nothing is to be borne"), *Job.Settled.choices]
    )
    field_order = ["label", "kind", "of", "settled", "for_whom", "due", "way", "plan"]

    def __init__(self, data=None, *, plans: list[Plan] | None, earlier: list[Job] = (), **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.earlier = {str(job.pk): job for job in earlier}
        named = [(key, f"{job.label}, {job.get_state_display()}") for key, job in self.earlier.items()]
        self.fields["of"].choices = [("", "None"), *named]
        self.plans = {str(plan.pk): plan for plan in plans or []}
        if plans is None:
            del self.fields["plan"]
        else:
            named = [(key, f"{plan.title}, plan {plan.pk} of {day(plan.kept_at)}") for key, plan in self.plans.items()]
            self.fields["plan"].choices = [("", "None yet"), *named]

    def facts(self, plan: Plan | None = None) -> JobFacts:
        """What was typed; ``plan`` where it is not asked for."""
        typed = self.cleaned_data
        chosen = self.plans.get(typed["plan"]) if "plan" in self.fields else plan
        whom = typed["for_whom"]
        of = self.earlier.get(typed["of"])
        return JobFacts(
            typed["label"],
            typed["kind"],
            str(whom or ""),
            typed["due"],
            chosen,
            whom,
            of,
            typed["settled"],
            typed["way"],
        )

    @staticmethod
    def initial_of(job: Job) -> dict[str, object]:
        told = {name: getattr(job, name) for name in ("label", "kind", "due", "settled", "way")}
        return {
            **told,
            "for_whom": job.person or job.for_whom,
            "plan": str(job.plan_id or ""),
            "of": str(job.of_id or ""),
        }
