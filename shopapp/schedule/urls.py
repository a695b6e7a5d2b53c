from django.urls import path

from . import views

app_name = "schedule"
urlpatterns = [
    path("", views.week, name="week"),
    path("hours/add/", views.add_session, name="add_session"),
    path("hours/<int:session_pk>/", views.session, name="session"),
    path("hours/<int:session_pk>/remove/", views.remove_session, name="remove_session"),
    path("days/add/", views.add_exception, name="add_exception"),
    path("days/<int:exception_pk>/", views.exception, name="exception"),
    path("days/<int:exception_pk>/remove/", views.remove_exception, name="remove_exception"),
]
