"""A picture whose reading was cut off: its design says so, its bytes go, and nothing is left half done."""

from __future__ import annotations

import os
import threading
import time

import pytest
from django.db import connection
from django_tasks_db.models import DBTaskResult

from shopapp.common.tasks import note_failure, run_waiting_tasks
from shopapp.common.tidying import tidy
from shopapp.designs.models import Design
from shopapp.designs.pictures.actions import bring_picture, read_design
from shopapp.designs.pictures.readers import reading_state
from shopapp.designs.woods.actions import keep_pattern
from shopapp.designs.woods.readers import wood_choices
from tests.support.shop import add_woods, design_with_pattern, picture, upload


def incoming(settings) -> list[str]:
    return [path.name for path in (settings.FILES / "incoming").glob("*")]


@pytest.fixture
def waiting(owner):
    return bring_picture(who=owner, name="Flag", upload=upload(picture()))


def test_a_reading_given_up_for_good_is_told_and_its_bytes_are_dropped(waiting, settings):
    row = DBTaskResult.objects.get()
    DBTaskResult.objects.filter(pk=row.pk).update(status="RUNNING")
    row.refresh_from_db()
    note_failure(row, "It took longer than 120 seconds and was stopped.")
    assert len(incoming(settings)) == 1
    tidy()
    waiting.refresh_from_db()
    assert waiting.trouble == "It took longer than 120 seconds and was stopped."
    assert waiting.incoming == "" and incoming(settings) == []
    assert reading_state(waiting).word == "failed"


def test_a_reading_whose_task_is_gone_is_told_instead_of_awaited_for_ever(waiting, settings):
    DBTaskResult.objects.all().delete()
    assert reading_state(waiting).word == "failed"
    tidy()
    waiting.refresh_from_db()
    assert "Bring the picture again" in waiting.trouble and incoming(settings) == []


def test_a_picture_that_still_waits_its_turn_keeps_its_bytes(waiting, settings):
    tidy()
    assert len(incoming(settings)) == 1
    run_waiting_tasks()
    waiting.refresh_from_db()
    assert waiting.is_read and incoming(settings) == []


def test_bytes_that_no_design_names_are_dropped_after_a_day(waiting, settings):
    folder = settings.FILES / "incoming"
    for name, age in (("old.raw", 2 * 86_400), ("old.half", 2 * 86_400), ("new.raw", 60)):
        (folder / name).write_bytes(b"x")
        os.utime(folder / name, (time.time() - age, time.time() - age))
    tidy()
    assert sorted(incoming(settings)) == sorted(["new.raw", waiting.incoming.split("/")[1]])


def test_read_half_way_and_taken_up_again_the_design_is_read_once(waiting, monkeypatch):
    from shopapp.designs.pictures import actions

    stored = []

    def killed(png, *, purpose):
        stored.append(purpose)
        raise KeyboardInterrupt

    monkeypatch.setattr(actions, "store_image", killed)
    with pytest.raises(KeyboardInterrupt):
        read_design.call(waiting.pk)
    waiting.refresh_from_db()
    assert stored == ["original"] and waiting.awaits_reading and waiting.incoming
    monkeypatch.undo()
    run_waiting_tasks()
    waiting.refresh_from_db()
    assert waiting.is_read and not waiting.incoming


@pytest.mark.django_db(transaction=True)
@pytest.mark.storage
def test_patterns_kept_at_once_are_numbered_one_after_another(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    choices = wood_choices(design)
    trouble = []

    def keep() -> None:
        try:
            given = {"choices": choices.suggestion, "margin": 1, "grid_png": choices.grid_png}
            keep_pattern(who=owner, design=design, **given)
        except Exception as error:
            trouble.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=keep) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not trouble
    assert sorted(Design.objects.get().versions.values_list("number", flat=True)) == list(range(1, 8))
