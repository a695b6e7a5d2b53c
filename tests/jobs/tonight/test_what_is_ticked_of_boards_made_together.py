"""A tick belongs to its board: it stays done whether the board is made alone, together with others, or alone again."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from shopapp.jobs.evenings import timetable_of
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.jobs.season.asked import asked
from shopapp.jobs.spoiled.rows import write_row
from shopapp.jobs.stages.readers import stages_of
from shopapp.jobs.tonight.made import made_of
from shopapp.people.models import Member
from shopapp.plans.models import StepTick
from shopapp.plans.timetable.actions import StandsAlready, plan_the_rest, tick
from shopapp.plans.timetable.doing import doing_of
from shopapp.plans.timetable.planning import Opened, words_of
from shopapp.plans.timetable.standing import ticked_of
from shopapp.schedule.models import Booking
from tests.support import tonight as bench
from tests.support import work
from tests.support.evenings import kept as kept_evenings

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def two(owner):
    """A pennant nobody has begun, and a flag whose pieces are cut and of which a row is glued."""
    bench.all_day(owner)
    plan = work.kept(owner)
    making, kept = bench.rows_due(owner, plan, "Flag")
    bench.glue_row(owner, making, kept, bench.first_row(kept), at=timezone.now() - timedelta(days=3))
    pennant = work.move(owner, work.job(owner, work.another(owner), label="Pennant"), "under way")
    return pennant, Job.objects.get(label="Flag")


def together(owner, two, **wishes):
    return kept_evenings(owner, making_of_job(two[0].pk), in_hand=True, together=[two[1].key], **wishes)


def done_by_the_season(job) -> set[str]:
    return set(asked(list(Job.objects.all()), timezone.localtime()).ticked.get(job.pk, {}))


def test_what_was_done_of_a_board_is_not_planned_again_when_it_is_made_with_another(owner, two):
    flag = two[1]
    before, season = ticked_of([flag.key]), done_by_the_season(flag)
    assert before and season == {step[1:] for step in before}
    joint = together(owner, two)
    assert not {f"2{step[1:]}" for step in before} & words_of(joint.form).keys()
    assert any(step.startswith("2/") for step in words_of(joint.form))
    assert done_by_the_season(flag) == season
    assert timetable_of(flag) == (joint, 2) and next(one.done for one in stages_of(flag)) > 0
    (made,) = made_of(list(Job.objects.filter(state="under way")), timezone.now())
    assert made.kept == joint and {f"2{step[1:]}" for step in before} <= made.ticked.keys()


def test_what_is_ticked_by_the_card_of_both_is_done_of_the_board_itself(owner, two):
    pennant, flag = two
    joint, making = together(owner, two), making_of_job(pennant.pk)
    step = bench.first_row(joint)
    step = step if step.startswith("2/") else next(one for one in words_of(joint.form) if one.startswith("2/row/"))
    bench.glue_row(owner, making, joint, step)
    own = f"1{step[1:]}"
    assert StepTick.objects.filter(step=own).latest("pk").key == flag.key and own in ticked_of([flag.key])
    doing = doing_of(making, joint, timezone.localtime())
    assert doing.done == len([one for one in ticked_of(making.keys, joint.boards) if not one.endswith("/dry")])
    # Made alone again it stays done, and is done on the card of both as well.
    alone = kept_evenings(owner, making_of_job(flag.pk), in_hand=True)
    assert own not in words_of(alone.form) and timetable_of(flag) == (alone, 1)
    with pytest.raises(StandsAlready):
        tick(who=owner, making=making, kept=joint, step=step, done=True)
    again = plan_the_rest(who=owner, making=making, kept=joint)
    assert step not in words_of(again.form)


def test_the_evenings_of_a_board_are_free_for_it_when_it_is_made_with_another_and_booked_once(owner, two):
    pennant, flag = two
    alone = kept_evenings(owner, making_of_job(flag.pk), in_hand=True)
    assert Booking.objects.filter(key=flag.key).exists()
    joint = together(owner, two)
    assert not Booking.objects.filter(key=flag.key).exists() and Booking.objects.filter(key=pennant.key).exists()
    # The hours it stood in alone are there for both; the first of them goes on while this runs.
    one, both = (Opened.of(kept.form).work.sessions for kept in (alone, joint))
    assert one[1:] == both[1:] and one[0][1] == both[0][1] and alone.first == joint.first


def test_a_timetable_looked_for_anew_leaves_out_what_is_done(owner, two):
    flag = two[1]
    done = {step for step in ticked_of([flag.key]) if not step.endswith("/dry")}
    assert done and not done & words_of(kept_evenings(owner, making_of_job(flag.pk), in_hand=True).form).keys()


def test_a_row_spoiled_of_a_board_made_with_another_is_glued_again(owner, two):
    pennant, flag = two
    joint, making = together(owner, two), making_of_job(pennant.pk)
    step = next(one for one in words_of(joint.form) if one.startswith("2/row/") and one.count("/") == 2)
    bench.glue_row(owner, making, joint, step)
    written = write_row(who=owner, job=flag, kind="spoiled", number=int(step.split("/")[2]), count=1, why="askew")
    assert written.glued_again and step not in ticked_of(making.keys, joint.boards)
    assert step in words_of(plan_the_rest(who=owner, making=making, kept=joint).form)
