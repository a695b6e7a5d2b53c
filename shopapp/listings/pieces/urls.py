"""Addresses of pieces, under /listings/pieces/."""

from django.urls import path

from . import doing, views
from .photos import views as photos

urlpatterns = [
    path("pieces/", views.pieces, name="pieces"),
    path("pieces/number/<int:job_pk>/", views.number, name="number"),
    path("pieces/commission/<int:job_pk>/", views.commission, name="commission"),
    path("pieces/<int:piece_pk>/", views.piece, name="piece"),
    path("pieces/<int:piece_pk>/photos/", photos.photos, name="photos"),
    path("pieces/<int:piece_pk>/photos/read/", photos.photos_read, name="photos_read"),
    path("pieces/photos/<int:shot_pk>/<slug:act>/", photos.photo_act, name="photo_act"),
    path("pieces/<int:piece_pk>/stands/", doing.stands, name="stands"),
    path("pieces/<int:piece_pk>/gives-way/", doing.gives_way, name="gives_way"),
    path("pieces/<int:piece_pk>/do/<slug:act>/", doing.act, name="piece_act"),
]
