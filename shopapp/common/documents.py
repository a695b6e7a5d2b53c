"""Papers made by the worker, stored with their hash: kept, waited for, opened."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from django.db.models import QuerySet
from django.http import FileResponse, Http404

from planner.errors import PlannerError

from .files import file_answer, write_file
from .models import StoredDocument
from .tasks import TaskState, task_states


class Paper(Protocol):
    """A row that a task gives its document."""

    task: str
    document_id: int | None


def store_document(
    data: bytes, *, title: str, suffix: str = ".pdf", media_type: str = "application/pdf"
) -> StoredDocument:
    name, sha256 = write_file("papers", suffix, data)
    return StoredDocument.objects.create(name=name, sha256=sha256, size=len(data), title=title, media_type=media_type)


def make_once(papers: QuerySet, render: Callable[[], bytes], title: str) -> None:
    """The worker's part of a paper: render it, write the file, then record it with the row ``papers`` holds. One that
    stands is never made a second time.

    Raises PlannerError, for the page that waits, where it cannot be made on this machine.
    """
    # Whoever only asks how far a paper is does not load the engine that makes them.
    from .paper import PaperTrouble

    if papers.filter(document__isnull=False).exists():
        return
    try:
        made = render()
    except PaperTrouble as error:
        raise PlannerError(str(error)) from error
    papers.filter(document__isnull=True).update(document=store_document(made, title=title))


def paper_state(paper: Paper | None, not_made: str) -> TaskState:
    """How far a paper is: "none" where nobody asked for it, "waiting", "working", "ready", or "failed" with the task's
    words, else ``not_made``. At most one query."""
    return TaskState("none") if paper is None else paper_states([paper], not_made)[0]


def paper_states(papers: Sequence[Paper], not_made: str) -> list[TaskState]:
    """The same of each of some papers that were asked for. At most one query."""
    tasks = [paper.task for paper in papers if paper.document_id is None]
    found = dict(zip(tasks, task_states(tasks), strict=True)) if tasks else {}
    return [TaskState("ready") if paper.document_id else _unmade(found[paper.task], not_made) for paper in papers]


def _unmade(state: TaskState, not_made: str) -> TaskState:
    return state if state.word in ("waiting", "working") else TaskState("failed", state.message or not_made)


def pdf_answer(document: StoredDocument | None, filename: str, not_there: str) -> FileResponse:
    """A stored paper, to be read in the browser. Raises Http404, ``not_there``, where it is not made yet."""
    if document is None:
        raise Http404(not_there)
    response = file_answer(document.name, "application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{filename}"'
    response.headers["Cache-Control"] = "private, no-cache"
    return response
