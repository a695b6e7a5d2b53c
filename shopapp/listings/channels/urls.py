"""Addresses of channels, under /listings/channels/."""

from django.urls import path

from . import views

urlpatterns = [
    path("channels/", views.channels, name="channels"),
    path("channels/new/", views.new, name="channel_new"),
    path("channels/<int:channel_pk>/", views.channel, name="channel"),
    path("channels/<int:channel_pk>/change/", views.change, name="channel_change"),
    path("channels/<int:channel_pk>/aside/", views.aside, name="channel_aside"),
    path("channels/offered/<int:offering_pk>/off/", views.take_off, name="take_off"),
]
