"""Addresses of parcels, under /listings/parcels/."""

from django.urls import path

from . import views

urlpatterns = [
    path("parcels/", views.parcels, name="parcels"),
    path("parcels/pack/<int:piece_pk>/", views.pack, name="pack"),
    path("parcels/<int:parcel_pk>/", views.parcel, name="parcel"),
    path("parcels/<int:parcel_pk>/change/", views.change, name="parcel_change"),
    path("parcels/<int:parcel_pk>/do/<slug:act>/", views.parcel_act, name="parcel_act"),
]
