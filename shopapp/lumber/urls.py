from django.urls import path

from . import views

app_name = "lumber"
urlpatterns = [
    path("", views.woods, name="woods"),
    path("add/", views.add, name="add"),
    path("<slug:wood_id>/", views.wood_page, name="wood"),
    path("<slug:wood_id>/on-hand/", views.on_hand, name="on_hand"),
]
