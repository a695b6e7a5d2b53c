"""Whose a design's picture is: said when it is brought, changed later, and asked before a board of it is quoted or
listed where it is unknown or for a private gift only. What was answered then is kept for good."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.designs.models import Design, RightsAnswer
from shopapp.people.models import Member

# What is asked about before a board leaves the house.
UNSETTLED = ("unknown", "gift")


def rights_in_words(design: Design) -> str:
    """Whose the picture is, for a page: "mine", "under an open licence: CC0"."""
    words = design.get_rights_display()
    return f"{words}: {design.rights_note}" if design.rights_note else words


def question_before(design: Design, purpose: str) -> str | None:
    """What is to be asked before a board of the design is quoted or listed (``purpose`` "quote" or "list"), or None
    where nothing is, or where it was answered since the picture was last said to be what it is."""
    done = dict(RightsAnswer.PURPOSES)[purpose]
    if done not in still_asked(design):
        return None
    if design.rights == "gift":
        return f"The picture was said to be for a private gift only. May a board of it be {done}?"
    return f"Nobody has said yet whose the picture is. May a board of it be {done}?"


def still_asked(design: Design) -> list[str]:
    """Before a board of the design is what ("quoted", "listed") it will be asked whose the picture is. One query where
    that is not settled."""
    if design.source != "picture" or design.rights not in UNSETTLED:
        return []
    # The newest answer of each purpose counts.
    said = dict(design.rights_answers.order_by("pk").values_list("purpose", "rights"))
    return [done for purpose, done in RightsAnswer.PURPOSES if said.get(purpose) != design.rights]


def sentence_before_it_leaves(design: Design) -> str:
    """For pages of boards already planned: that it will be asked; empty where nothing is asked any more."""
    asked = " or ".join(still_asked(design))
    if not asked:
        return ""
    if design.rights == "gift":
        return f"The picture was said to be for a private gift only; that is asked about before it is {asked}."
    return f"Nobody has said yet whose the picture is; that is asked before it is {asked}."


def say_whose(
    *, who: Member, design: Design, rights: str, note: str, seen_version: int, spend: Callable[[], None] = lambda: None
) -> Design:
    """Write whose the picture is. Raises EditConflict when somebody else changed the design meanwhile."""
    with transaction.atomic():
        spend()
        design = Design.objects.select_for_update().get(pk=design.pk)
        check_version(design, seen_version)
        _write(design, rights, note)
        write_audit(who, f"The picture of {design.name} is now said to be {rights_in_words(design)}.", design)
    return design


def answer_rights(
    *,
    who: Member,
    design: Design,
    purpose: str,
    rights: str,
    note: str,
    seen_version: int | None = None,
    spend: Callable[[], None] = lambda: None,
) -> RightsAnswer:
    """Keep what was answered to ``question_before``: whose the picture is, with its licence or permission, or, where
    that stays unsettled, the reason why it may be quoted or listed all the same."""
    done = dict(RightsAnswer.PURPOSES)[purpose]
    with transaction.atomic():
        spend()
        design = Design.objects.select_for_update().get(pk=design.pk)
        if seen_version is not None:
            check_version(design, seen_version)
        # A reason belongs to this one answer, not to the picture.
        _write(design, rights, "" if rights in UNSETTLED else note)
        words = f"May be {done}: {dict(Design.RIGHTS)[rights]}" + (f", {note}" if note else "")
        answer = RightsAnswer.objects.create(design=design, who=who, purpose=purpose, rights=rights, answer=words)
        write_audit(who, f"{design.name}: {words}.", design)
    return answer


def _write(design: Design, rights: str, note: str) -> None:
    design.rights, design.rights_note = rights, note
    design.save(update_fields=["rights", "rights_note", "changed_at"])
    bump_version(design)
