"""Cards, labels and tags asked for and made by the worker, and the words that stand on all of them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.documents import make_once
from shopapp.common.tasks import background, enqueue, task_state
from shopapp.listings.models import CardWords, Piece, PiecePaper
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from . import said, wording
from .fitting import code_is_readable, size_for
from .papers import LABELS, TAGS
from .readers import card_words, maker_of, prices_of, public_addresses

Spend = Callable[[], None]
Kind = PiecePaper.Kind
MOST_PIECES = 100


@dataclass(frozen=True)
class Asked:
    """What somebody wants on which paper. ``sheet`` is a key of the papers of its ``kind``; labels and tags begin at
    the ``first`` of a sheet; ``address`` is the shop's as a phone reaches it, ``coded`` whether codes are printed."""

    kind: str
    sheet: str
    address: str
    first: int = 1
    coded: bool = True


def write_words(
    *, who: Member | None, facts: Mapping[str, str], seen_version: int, spend: Spend = lambda: None
) -> CardWords:
    """Keep what stands on every card. Raises EditConflict, and PlannerError for a claim nobody here can make."""
    owner_only(who)
    for name, words in facts.items():
        if claim := wording.claim_in(words):
            raise PlannerError(wording.too_much(claim), field=name)
    with transaction.atomic():
        spend()
        CardWords.objects.get_or_create(pk=1)
        card = CardWords.objects.select_for_update().get(pk=1)
        check_version(card, seen_version)
        if all(getattr(card, name) == words for name, words in facts.items()):
            return card
        for name, words in facts.items():
            setattr(card, name, words)
        card.save()
        bump_version(card)
        write_audit(who, "The words on cards and labels were changed.", card)
    return card


def ask_for_paper(
    *, who: Member | None, pieces: Sequence[Piece], asked: Asked, spend: Spend = lambda: None
) -> PiecePaper:
    """Have the worker make a paper of ``pieces`` in their order, or make it again after a failure. One that says the
    same, and stands or is being made, is the answer."""
    owner_only(who)
    if not pieces:
        raise PlannerError("No piece is ticked.", mend="Tick at least one.")
    if len(pieces) > MOST_PIECES:
        raise PlannerError(f"More than {MOST_PIECES} pieces are ticked.", mend="Make them in two goes.")
    says = _said(the_workshop(), pieces, asked)
    text = json.dumps(says, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    with transaction.atomic():
        spend()
        paper, is_new = PiecePaper.objects.get_or_create(
            kind=asked.kind,
            sha256=hashlib.sha256(text.encode()).hexdigest(),
            defaults={"says": text, "asked_by": who},
        )
        if is_new:
            paper.pieces.set(pieces)
        paper = PiecePaper.objects.select_for_update(of=("self",)).get(pk=paper.pk)
        if paper.document_id is None and task_state(paper.task).word not in ("waiting", "working"):
            paper.task = enqueue(make_paper, paper.pk)
            paper.save(update_fields=["task"])
            write_audit(who, f"{_what(asked.kind, len(pieces))} asked for.", paper)
    return paper


def _what(kind: str, many: int) -> str:
    if kind == Kind.TAGS:
        return "A price tag was" if many == 1 else f"{many} price tags were"
    words = Kind(kind).label
    return f"A {words} was" if many == 1 else f"{many} {words}s were"


def _said(shop: Workshop, pieces: Sequence[Piece], asked: Asked) -> dict[str, Any]:
    card = card_words()
    public = public_addresses(pieces) if asked.coded else {}
    codes = {
        piece.pk: said.address_for(piece, asked.address, card.link, public.get(piece.pk, "")) if asked.coded else ""
        for piece in pieces
    }
    maker, address = maker_of(card, shop)
    who_made = {"shop": shop.name, "maker": maker, "address": address}
    if asked.kind == Kind.CARE:
        told = [said.care_said(piece, card, shop, codes[piece.pk]) for piece in pieces]
        return said.whole(asked.kind, {"card": asked.sheet}, told, warnings=card.warnings, **who_made)
    if asked.kind == Kind.TAGS:
        prices = prices_of(pieces)
        told = [said.tag_said(piece, *prices.get(piece.pk, (None, shop)), codes[piece.pk]) for piece in pieces]
        lines, papers = [], TAGS
    else:
        told = [said.label_said(piece, card, shop, codes[piece.pk]) for piece in pieces]
        lines, papers = [maker, address], LABELS
    paper = papers[asked.sheet]
    if asked.first > paper.a_sheet:
        raise PlannerError(f"This paper has {paper.a_sheet} a sheet.", mend="Begin at one of them.", field="first")
    if not code_is_readable(paper, max(codes.values(), key=len)):
        raise PlannerError(
            "These are too small for a code that a phone can read.",
            mend="Take larger ones, or a shorter address.",
            field="sheet",
        )
    sizes = [size_for(paper, one, lines) for one in told]
    if None in sizes:
        title = told[sizes.index(None)]["title"]
        raise PlannerError(
            f"What is to stand on the one of {title} does not fit there.",
            mend="Take larger ones, or shorten the words on cards.",
            field="sheet",
        )
    told = [{**one, "points": str(size)} for one, size in zip(told, sizes, strict=True)]
    sheet = {"paper": paper.as_json(), "first": asked.first, "alone": asked.sheet.startswith("one-")}
    return said.whole(asked.kind, sheet, told, lines=[line for line in lines if line], **who_made)


@background(name="make cards, labels or tags")
def make_paper(paper_pk: int) -> None:
    """The worker's part: render what was frozen, write the file, then record it."""
    from .sheet import paper_pdf

    paper = PiecePaper.objects.get(pk=paper_pk)
    title = "Price tags" if paper.kind == Kind.TAGS else f"{paper.get_kind_display().capitalize()}s"
    make_once(PiecePaper.objects.filter(pk=paper.pk), lambda: paper_pdf(json.loads(paper.says)), title)
