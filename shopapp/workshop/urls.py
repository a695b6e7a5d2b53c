from django.urls import path

from . import views

app_name = "workshop"
urlpatterns = [
    path("", views.settings, name="settings"),
    path("<slug:key>/", views.section, name="section"),
]
