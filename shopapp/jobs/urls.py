from django.urls import path

from shopapp.plans.timetable.doors import door

from . import cut_views as cutting
from . import time_views as timing
from . import views
from .buying import views as buying
from .making import making_of_job

app_name = "jobs"
urlpatterns = [
    path("", views.jobs, name="jobs"),
    path("buying/", buying.buying, name="buying"),
    path("new/", views.new, name="new"),
    path("accept/<int:quote_pk>/", views.accept, name="accept"),
    path("<int:pk>/", views.job, name="job"),
    path("<int:pk>/change/", views.change, name="change"),
    path("<int:pk>/move/", views.move, name="move"),
    path("<int:pk>/wood/", views.wood, name="wood"),
    path("<int:pk>/wood/<slug:out>/back/", views.back, name="back"),
    path("<int:pk>/cut/", cutting.cut, name="cut"),
    path("<int:pk>/cut/state/", cutting.cut_state, name="cut_state"),
    path("<int:pk>/cut/stop/", cutting.cut_stop, name="cut_stop"),
    path("<int:pk>/cut/keep/", cutting.cut_keep, name="cut_keep"),
    path("<int:pk>/cut/<int:cut_pk>/", cutting.cut_sheet, name="cut_sheet"),
    path("<int:pk>/cut/<int:cut_pk>/paper/", cutting.cut_paper, name="cut_paper"),
    path("<int:pk>/cut/<int:cut_pk>/paper/state/", cutting.cut_paper_state, name="cut_paper_state"),
    path("<int:pk>/cut/<int:cut_pk>/marking-out.pdf", cutting.cut_paper_pdf, name="cut_paper_pdf"),
    path("<int:pk>/cut/<int:cut_pk>/as-made/", cutting.cut_as_made, name="cut_as_made"),
    path("<int:pk>/cut/doing/", cutting.cut_doing, name="cut_doing"),
    path("<int:pk>/cut/doing/<str:board>/", cutting.cut_back, name="cut_back"),
    path("<int:pk>/time/", timing.time, name="time"),
    path("<int:pk>/time/<int:entry_pk>/", timing.time_entry, name="time_entry"),
    path("<int:pk>/time/<int:entry_pk>/back/", timing.time_back, name="time_back"),
    *door(making_of_job),
]
