"""Addresses of pieces, under /listings/pieces/."""

from django.urls import path

from . import views

urlpatterns = [
    path("pieces/", views.pieces, name="pieces"),
    path("pieces/number/<int:job_pk>/", views.number, name="number"),
    path("pieces/<int:piece_pk>/", views.piece, name="piece"),
]
