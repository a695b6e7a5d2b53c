"""A fortnight in a shop that never was, day by day: a gift for a feast day, a commission somebody thinks better of, a
board for sale whose plan is changed; a spoiled row, a minute without network, and the night the clocks go forward.

Everything that is typed or tapped goes the way a maker sends it where the way is short: pages by a browser's requests,
the tablet by what it sends, with a key of its own each time.
"""

from __future__ import annotations

import secrets
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.test import Client
from django.urls import reverse

from planner.measures import Length
from shopapp.jobs.actions import accept_quote
from shopapp.jobs.done.open import open_of
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.spoiled.planning import alike_in
from shopapp.jobs.timing import timed_of
from shopapp.lumber.models import StockEntry, StockPiece, Supplier
from shopapp.lumber.stock.actions import Size, scrap_piece, set_piece_aside, split_piece, undo_entry
from shopapp.lumber.stock.promises import bring_back
from shopapp.people.models import Member
from shopapp.plans.cutting.doing import actions as bench
from shopapp.plans.cutting.doing.planning import boards_of
from shopapp.plans.models import CutEntry, KeptTimetable, Plan
from shopapp.plans.timetable.actions import plan_the_rest
from shopapp.plans.timetable.planning import Opened, dry_counts_in
from shopapp.schedule.actions import add_sessions
from shopapp.schedule.log import actions as log
from shopapp.schedule.models import TimeEntry
from tests.support import sawing, work
from tests.support.cutting import SMALL
from tests.support.evenings import kept as kept_evenings
from tests.support.log import write
from tests.support.rack import boards, delivery, line
from tests.support.shop import add_woods, design_with_pattern

HERE = ZoneInfo("Europe/Lisbon")
# A Monday; the clocks go forward in the night to the Sunday in its middle, and a feast is on the last day.
FIRST = date(2026, 3, 23)
FEAST = FIRST + timedelta(days=13)
mm = Length.of_mm


class Fortnight:
    """``sent`` is all that tablets sent, to be sent again; ``now`` is what the shop's clock says."""

    def __init__(self) -> None:
        self.at(0, 18)
        self.sent: list[dict] = []
        self.asked_twice: list[tuple[str, dict]] = []

    def at(self, day: int, hour: int, minute: int = 0) -> datetime:
        self._now = datetime.combine(FIRST + timedelta(days=day), time(hour, minute), HERE)
        return self._now

    def now(self) -> datetime:
        return self._now.astimezone(ZoneInfo("UTC"))

    # --- how things are sent ------------------------------------------------------------------------------------

    def client(self) -> Client:
        client = Client()
        client.force_login(self.owner)
        return client

    def post(self, address: str, **typed: object) -> None:
        given = {"form_key": secrets.token_urlsafe(24), **typed}
        answer = self.client().post(address, given)
        assert answer.status_code == 302, answer.content.decode()
        self.asked_twice.append((address, given))

    def move(self, job: Job, state: str, **given: object) -> None:
        job.refresh_from_db()
        self.post(reverse("jobs:move", args=[job.pk]), state=state, edit_version=job.edit_version, **given)
        job.refresh_from_db()
        assert job.state == state

    def begin(self, job: Job) -> None:
        """With the press that takes its wood, as its page says."""
        page = self.client().get(job.get_absolute_url())
        self.move(job, "under way", wood=page.context["taking"].seen)

    def tap(self, job: Job, step: str, *, done: bool = True, at: datetime | None = None, **given: object) -> dict:
        """What a tablet sends of a tap; ``given`` where it is time that was worked."""
        sent = {
            "kind": "tick", "job": job.pk, "timetable": self.kept(job).pk, "step": step, "done": "1" if done else "0",
            "at": round((at or self._now).timestamp() * 1000), "who": self.owner.pk,
            "form_key": secrets.token_urlsafe(24), **given,
        }  # fmt: skip
        return self.send([sent])[0]

    def send(self, several: list[dict], expected: str = "written") -> list[dict]:
        client = self.client()
        for one in several:
            answer = client.post(reverse("jobs:tonight_send"), one).json()
            assert answer["state"] == expected, answer
        self.sent += several if expected == "written" else []
        return several

    def kept(self, job: Job) -> KeptTimetable:
        return KeptTimetable.objects.filter(key=job.key).latest("pk")

    def steps(self, job: Job, *kinds: str) -> list[str]:
        """Steps of these kinds, or all, in the order of their times; only such as take hands."""
        opened = Opened.of(self.kept(job).form)
        found = sorted(
            (at, n, step.key)
            for n, (step, task, at) in enumerate(
                zip(opened.steps, opened.work.tasks, opened.timetable.starts, strict=True)
            )
            if task.attended and (not kinds or step.kind in kinds)
        )
        return [key for _, _, key in found]

    def do(self, job: Job, steps: list[str]) -> None:
        dry = dry_counts_in(self.kept(job).form)
        for step in steps:
            if step in dry:
                self.tap(job, f"{step}/dry")
            self.tap(job, step)

    # --- the days -----------------------------------------------------------------------------------------------

    def played(self) -> Fortnight:
        self.the_rack_is_filled()
        self.monday_three_jobs_are_written_down()
        self.tuesday_the_gift_is_sawn()
        self.wednesday_the_network_is_away()
        self.thursday_a_row_is_spoiled()
        self.friday_the_commission_is_begun()
        self.saturday_a_mind_is_changed()
        self.monday_the_plan_of_the_board_for_sale_is_changed()
        self.the_second_week_at_the_gift()
        self.sunday_it_is_given()
        return self

    def the_rack_is_filled(self) -> None:
        self.owner = Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)
        add_woods(*sawing.WOODS)
        add_sessions(who=self.owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 22 * 60})
        add_sessions(who=self.owner, weekdays=[5], values={"starts": 9 * 60, "ends": 17 * 60})
        sawing.a_rack(self.owner, each=3)
        (wet, wormy, long) = boards(self.owner, 3, wood="sycamore", length=mm(2000), price=Decimal("9.37"))
        lines = (line(wood="padauk", count=2, length=mm(700)), line())
        delivery(self.owner, *lines, seller=Supplier.objects.get(), carriage=Decimal("17.35"))
        set_piece_aside(who=self.owner, piece=wet, reason="wet at the heart")
        scrap_piece(who=self.owner, piece=wormy, reason="wormy")
        split_piece(who=self.owner, piece=long, parts=[Size(long.thickness, long.width, mm(n)) for n in (990, 1005)])

    def monday_three_jobs_are_written_down(self) -> None:
        flag, pennant = (
            work._kept(self.owner, design_with_pattern(self.owner, SMALL, name=name)) for name in ("Flag", "Pennant")
        )
        self.plans: list[Plan] = [flag, pennant]
        new = reverse("jobs:new")
        self.post(new, label="Flag", kind="gift", for_whom="Aunt Sedge", due=FEAST.isoformat(), plan=flag.pk)
        self.post(new, label="Pennant", kind="sale", plan=pennant.pk)
        self.gift, self.sale = Job.objects.get(kind="gift"), Job.objects.get(kind="sale")

    def tuesday_the_gift_is_sawn(self) -> None:
        self.at(1, 19)
        self.cutting = sawing.cutting_of(self.gift)
        self.sheet = sawing.keep(self.owner, self.cutting)
        kept_evenings(self.owner, making_of_job(self.gift.pk), in_hand=True)
        self.begin(self.gift)
        self.given = {"who": self.owner, "cutting": self.cutting, "sheet": self.sheet}
        # Taken too soon, put back, and taken again.
        bench.undo(**self.given, entry=CutEntry.objects.get(kind="started"))
        bench.start(**self.given)
        for mark in boards_of(self.sheet.form):
            bench.report(**self.given, board=mark, rough=None)
        self.do(self.gift, self.steps(self.gift, "ready", "rough", "rip", "gauge", "cut", "sort"))
        self.tap(self.gift, "", kind="time", operation="crosscut", minutes=41)

    def wednesday_the_network_is_away(self) -> None:
        """A row counted, clamped and its time stopped while the network was away for a minute, sent once it is there;
        and all of it once more, for the tablet never heard the answer."""
        self.row, *_ = self.steps(self.gift, "row")
        self.away = []
        for minute, given in enumerate(
            (
                {"step": f"{self.row}/dry"},
                {"step": self.row},
                {"kind": "time", "operation": "row_glue", "minutes": 12},
            )
        ):
            self.at(2, 19, 5 + minute)
            self.away.append({
                "kind": "tick", "job": self.gift.pk, "timetable": self.kept(self.gift).pk, "done": "1",
                "at": round(self._now.timestamp() * 1000), "who": self.owner.pk,
                "form_key": secrets.token_urlsafe(24), **given,
            })  # fmt: skip
        self.at(2, 19, 8)
        self.send(self.away)
        self.send(self.away, expected="already")

    def thursday_a_row_is_spoiled(self) -> None:
        """It was glued the wrong way round: all its parts are lost, its tick is taken back, and it is cut again from
        boards taken besides, whose rests come back."""
        self.at(3, 19, 30)
        number = self.row.split("/")[2]
        laid = next(one for one in self.gift.plan.record["laid"] if str(one["number"]) == number)
        self.lost = list(laid["parts"])
        spoiled = reverse("jobs:spoiled", args=[self.gift.pk])
        row = {"part": f"row {number}", "count": "1"}
        self.post(spoiled, kind="spoiled", why="glued the wrong way round", **row)
        self.post(spoiled, kind="again", **row)
        # Said twice of one piece, and taken back.
        self.post(spoiled, kind="spoiled", part=alike_in(self.gift.plan)[0].parts[0], count="1", why="said twice")
        twice = PartEntry.objects.get(why="said twice")
        self.post(reverse("jobs:spoiled_back", args=[self.gift.pk, twice.pk]))
        woods = {self.gift.plan.record["parts"][part]["wood"] for part in self.lost}
        for wood in sorted(woods):
            board = StockPiece.objects.filter(wood=wood, state="here", demand=None, set_aside="").earliest("pk")
            work.give(self.owner, self.gift, "take", board)
            bring_back(who=self.owner, piece=board, offcuts=[Size(board.thickness, board.width, mm(880))])
        self.do(self.gift, [self.row])

    def friday_the_commission_is_begun(self) -> None:
        self.at(4, 20)
        plan = work.beside(self.owner, self.plans[0])
        quote = work.quote(self.owner, plan)
        self.commission = accept_quote(who=self.owner, quote=quote, label="Flag for the boathouse")
        self.called = sawing.cutting_of(self.commission)
        sheet = sawing.keep(self.owner, self.called)
        self.begin(self.commission)
        given = {"who": self.owner, "cutting": self.called, "sheet": sheet}
        self.cut, *self.untouched = boards_of(sheet.form)
        bench.report(**given, board=self.cut, rough=1)
        self.tap_time(self.commission, "crosscut", 25)

    def tap_time(self, job: Job, operation: str, minutes: int, **changes: object) -> TimeEntry:
        return write(self.owner, timed_of(job), operation, minutes, **changes)

    def saturday_a_mind_is_changed(self) -> None:
        self.at(5, 10)
        # The boards nothing was cut of come back with the same press, as the page says.
        page = self.client().get(self.commission.get_absolute_url())
        self.move(self.commission, "called off", with_open=page.context["leaving"].seen)
        board = StockPiece.objects.get(mark=self.cut)
        rest = Size(board.thickness, board.width, mm(410))
        bring_back(who=self.owner, piece=board, offcuts=[rest])
        # Measured wrongly: undone, and brought back as it is.
        undo_entry(who=self.owner, entry=StockEntry.objects.filter(kind="returned").latest("pk"))
        board.refresh_from_db()
        bring_back(who=self.owner, piece=board, offcuts=[Size(board.thickness, board.width, mm(395))])

    def monday_the_plan_of_the_board_for_sale_is_changed(self) -> None:
        self.at(7, 19)
        pieces = list(StockPiece.objects.filter(wood="walnut-black", state="here", demand=None)[:2])
        work.give(self.owner, self.sale, "reserve", *pieces)
        another = work.beside(self.owner, self.sale.plan, end_border=mm(51))
        self.sale.refresh_from_db()
        typed = {"label": "Pennant", "kind": "sale", "plan": another.pk, "edit_version": self.sale.edit_version}
        self.post(reverse("jobs:change", args=[self.sale.pk]), **typed)
        self.sale = Job.objects.get(pk=self.sale.pk)
        assert self.sale.plan_id == another.pk
        kept_evenings(self.owner, making_of_job(self.sale.pk), in_hand=True)
        # One of two boards will do: they are taken by hand.
        self.move(self.sale, "under way", wood="left")
        work.give(self.owner, self.sale, "take", pieces[0])
        work.give(self.owner, self.sale, "release", pieces[1])
        wrong = self.tap_time(self.sale, "rip_strip", 400)
        log.mend_time(
            who=self.owner, entry=wrong, facts=log.TimeFacts("rip_strip", 40, FIRST + timedelta(days=7), by=self.owner),
            planned={},
        )  # fmt: skip
        log.take_back(who=self.owner, entry=self.tap_time(self.sale, "crosscut", 99))
        self.do(self.sale, self.steps(self.sale, "ready"))

    def the_second_week_at_the_gift(self) -> None:
        self.at(8, 19)
        plan_the_rest(who=self.owner, making=making_of_job(self.gift.pk), kept=self.kept(self.gift))
        self.left = self.steps(self.gift)
        for day, steps in enumerate((self.left[:4], self.left[4:9], self.left[9:14], self.left[14:]), start=8):
            self.at(day, 21)
            self.do(self.gift, steps)
            self.tap_time(self.gift, "sand_dm2", 15 + day, finishes=day == 11)

    def sunday_it_is_given(self) -> None:
        self.at(12, 11)
        for mark in boards_of(self.sheet.form):
            waiting = sawing.as_planned((self.cutting, self.sheet), mark)
            if waiting:
                # The first of each board is not worth keeping.
                thrown = [bench.Back(waiting[0].planned, None), *waiting[1:]]
                sawing.back(self.owner, (self.cutting, self.sheet), mark, *thrown)
        left = open_of(self.gift, self.owner)
        assert not left.offcuts and not left.whole and not left.uncut and not left.to_cut_again
        # All its time is written down, so it is learned from.
        self.move(self.gift, "finished", with_open=left.seen, learn=[key for key, _ in left.operations])
        self.at(13, 12)
        self.move(self.gift, "handed over")
