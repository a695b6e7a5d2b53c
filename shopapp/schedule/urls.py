from django.urls import path

from . import views
from .log import views as log

app_name = "schedule"
urlpatterns = [
    path("", views.week, name="week"),
    path("log/", log.log, name="log"),
    path("times/", log.times, name="times"),
    path("times/<slug:operation>/by-log/", log.use_log, name="use_log"),
    path("hours/add/", views.add_session, name="add_session"),
    path("hours/<int:session_pk>/", views.session, name="session"),
    path("hours/<int:session_pk>/remove/", views.remove_session, name="remove_session"),
    path("days/add/", views.add_exception, name="add_exception"),
    path("days/<int:exception_pk>/", views.exception, name="exception"),
    path("days/<int:exception_pk>/remove/", views.remove_exception, name="remove_exception"),
]
