from django.urls import path

from shopapp.plans.book.doors import book_door
from shopapp.plans.cutting.doors import cut_door
from shopapp.plans.drawings.doors import drawings_door
from shopapp.plans.preview.doors import preview_door
from shopapp.plans.price.doors import price_door
from shopapp.plans.timetable.doors import timetable_door
from shopapp.schedule.log.doors import time_door

from . import views
from .binding import binding_of_job
from .buying import views as buying
from .cutting import cutting_of_job
from .done import views as done
from .drawings import drawn_of_job
from .making import making_of_job
from .season import views as season
from .spoiled import views as spoiled
from .timing import timed_of_job
from .tonight import views as tonight

app_name = "jobs"
urlpatterns = [
    path("", season.jobs, name="jobs"),
    path("season/", season.season, name="season"),
    path("buying/", buying.buying, name="buying"),
    path("tonight/", tonight.tonight, name="tonight"),
    path("tonight/send/", tonight.send, name="tonight_send"),
    path("tonight/away/", tonight.away, name="tonight_away"),
    path("tonight/worker.js", tonight.worker, name="tonight_worker"),
    path("new/", views.new, name="new"),
    path("accept/<int:quote_pk>/", views.accept, name="accept"),
    path("<int:pk>/", views.job, name="job"),
    path("<int:pk>/change/", views.change, name="change"),
    path("<int:pk>/move/", views.move, name="move"),
    path("<int:pk>/agree/", views.agree, name="agree"),
    path("<int:pk>/wood/", views.wood, name="wood"),
    path("<int:pk>/wood/<slug:out>/back/", views.back, name="back"),
    path("<int:pk>/done/", done.done, name="done"),
    path("<int:pk>/spoiled/", spoiled.spoiled, name="spoiled"),
    path("<int:pk>/spoiled/<int:part_pk>/back/", spoiled.spoiled_back, name="spoiled_back"),
    *book_door(binding_of_job),
    *cut_door(cutting_of_job),
    *drawings_door(drawn_of_job),
    *preview_door(cutting_of_job),
    *price_door(cutting_of_job),
    *time_door(timed_of_job),
    *timetable_door(making_of_job),
]
