from django.urls import path

from shopapp.schedule.log.doors import time_door

from . import views
from .book.doors import binding_of_plan, book_door
from .cutting.doors import cut_door, cutting_of_plan
from .drawings.doors import drawings_door, drawn_of_plan
from .methods import views as methods
from .preview import pages as preview
from .preview.doors import preview_door
from .price.doors import price_door
from .price.lowering import pages as lowering
from .proposing import views as proposing
from .shorts import views as shorts
from .timetable.doors import making_of_plan, timetable_door
from .timing import timed_of_plan

app_name = "plans"
urlpatterns = [
    path("", views.plans, name="plans"),
    path("shorts/", shorts.shorts, name="shorts"),
    path("reckon/<int:design_pk>/", views.reckoning, name="reckoning"),
    path("reckon/<int:design_pk>/bench/", views.bench_reckoning, name="bench_reckoning"),
    path("reckon/<int:design_pk>/methods/", methods.methods, name="methods"),
    path("reckon/<int:design_pk>/lower/", lowering.live, name="lower"),
    path("reckon/<int:design_pk>/proposals/", proposing.proposals, name="proposals"),
    path("reckon/<int:design_pk>/board.png", preview.live_png, name="reckoning_png"),
    path("<int:pk>/", views.plan, name="plan"),
    path("<int:pk>/build-sheet.pdf", views.sheet_pdf, name="sheet_pdf"),
    *book_door(binding_of_plan),
    *cut_door(cutting_of_plan),
    *drawings_door(drawn_of_plan),
    *preview_door(cutting_of_plan),
    *price_door(cutting_of_plan),
    *time_door(timed_of_plan),
    *timetable_door(making_of_plan),
]
