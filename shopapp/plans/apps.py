from django.apps import AppConfig


class PlansConfig(AppConfig):
    name = "shopapp.plans"
    verbose_name = "Plans"

    def ready(self) -> None:
        from django.urls import reverse

        from shopapp.common import tidying
        from shopapp.common.ledger import protect
        from shopapp.common.verification import register
        from shopapp.schedule.log import homes

        from .cutting.checks import sheets_that_do_not_hold
        from .cutting.doing.checks import cuts_and_rack_that_disagree
        from .cutting.tidying import forget_old_searches
        from .models import CutEntry, CutSheet, KeptTimetable, Plan, ShopBook, StepTick, TileMeasured
        from .readers import plans_that_do_not_match_their_hash
        from .timetable.checks import timetables_that_do_not_hold
        from .timetable.tidying import forget_old_searches as forget_old_timetables

        homes.register("plan", lambda pk: reverse("plans:time", args=[pk]))
        protect(Plan, against=("update", "delete"))
        protect(CutSheet)
        protect(CutEntry)
        protect(TileMeasured)
        protect(KeptTimetable)
        protect(StepTick)
        protect(ShopBook, but=("task", "document"))
        register("Kept plans match their hashes", plans_that_do_not_match_their_hash)
        register("Kept cut plans match their hashes, can be cut, and their floors are proved", sheets_that_do_not_hold)
        register("What was cut of kept cut plans agrees with the rack", cuts_and_rack_that_disagree)
        register("Kept timetables match their hashes and can be lived by", timetables_that_do_not_hold)
        tidying.register(forget_old_searches)
        tidying.register(forget_old_timetables)
