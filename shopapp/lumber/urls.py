from django.urls import path

from . import views
from .colours import views as colours

app_name = "lumber"
urlpatterns = [
    path("", views.woods, name="woods"),
    path("add/", views.add, name="add"),
    path("<slug:wood_id>/", views.wood_page, name="wood"),
    path("<slug:wood_id>/on-hand/", views.on_hand, name="on_hand"),
    path("<slug:wood_id>/colour/", colours.colour, name="colour"),
    path("<slug:wood_id>/colour/<int:photo_pk>/", colours.colour_photo, name="colour_photo"),
    path("<slug:wood_id>/colour/<int:photo_pk>/waiting/", colours.colour_waiting, name="colour_waiting"),
    path("<slug:wood_id>/colour/<int:photo_pk>/swatch/", colours.colour_swatch, name="colour_swatch"),
]
