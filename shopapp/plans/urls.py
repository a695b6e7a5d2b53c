from django.urls import path

from . import views
from .cutting import views as cutting
from .cutting.asmade import views as asmade
from .cutting.sheets import views as sheets
from .methods import views as methods
from .proposing import views as proposing
from .shorts import views as shorts
from .timetable.doors import door, making_of_plan
from .timing import views as timing

app_name = "plans"
urlpatterns = [
    path("", views.plans, name="plans"),
    path("shorts/", shorts.shorts, name="shorts"),
    path("reckon/<int:design_pk>/", views.reckoning, name="reckoning"),
    path("reckon/<int:design_pk>/bench/", views.bench_reckoning, name="bench_reckoning"),
    path("reckon/<int:design_pk>/methods/", methods.methods, name="methods"),
    path("reckon/<int:design_pk>/proposals/", proposing.proposals, name="proposals"),
    path("<int:pk>/", views.plan, name="plan"),
    path("<int:pk>/sheet/", views.sheet, name="sheet"),
    path("<int:pk>/sheet/state/", views.sheet_state, name="sheet_state"),
    path("<int:pk>/build-sheet.pdf", views.sheet_pdf, name="sheet_pdf"),
    path("<int:pk>/cut/", cutting.cut, name="cut"),
    path("<int:pk>/cut/state/", cutting.cut_state, name="cut_state"),
    path("<int:pk>/cut/stop/", cutting.cut_stop, name="cut_stop"),
    path("<int:pk>/cut/keep/", cutting.cut_keep, name="cut_keep"),
    path("<int:pk>/cut/<int:cut_pk>/", cutting.cut_sheet, name="cut_sheet"),
    path("<int:pk>/cut/<int:cut_pk>/paper/", sheets.cut_paper, name="cut_paper"),
    path("<int:pk>/cut/<int:cut_pk>/paper/state/", sheets.cut_paper_state, name="cut_paper_state"),
    path("<int:pk>/cut/<int:cut_pk>/marking-out.pdf", sheets.cut_paper_pdf, name="cut_paper_pdf"),
    path("<int:pk>/cut/<int:cut_pk>/as-made/", asmade.cut_as_made, name="cut_as_made"),
    path("<int:pk>/cut/doing/", cutting.cut_doing, name="cut_doing"),
    path("<int:pk>/cut/doing/<str:board>/", cutting.cut_back, name="cut_back"),
    path("<int:pk>/time/", timing.time, name="time"),
    path("<int:pk>/time/<int:entry_pk>/", timing.time_entry, name="time_entry"),
    path("<int:pk>/time/<int:entry_pk>/back/", timing.time_back, name="time_back"),
    *door(making_of_plan),
]
