"""The address of what a piece cost, under /listings/pieces/."""

from django.urls import path

from . import views

urlpatterns = [path("pieces/<int:piece_pk>/cost/", views.cost, name="cost")]
