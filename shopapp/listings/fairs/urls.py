"""Fairs; their names are among those of the listings."""

from django.urls import path

from . import till, views

urlpatterns = [
    path("", views.fairs, name="fairs"),
    path("new/", views.new, name="fair_new"),
    path("away/", till.away, name="fair_away"),
    path("worker.js", till.worker, name="fair_worker"),
    path("send/", till.send, name="fair_send"),
    path("<int:fair_pk>/", views.fair, name="fair"),
    path("<int:fair_pk>/change/", views.change, name="fair_change"),
    path("<int:fair_pk>/pack/", views.pack, name="fair_pack"),
    path("<int:fair_pk>/home/", views.home, name="fair_home"),
    path("<int:fair_pk>/stands/", views.stands, name="fair_stands"),
    path("<int:fair_pk>/costs/", views.costs, name="fair_costs"),
    path("<int:fair_pk>/till/", till.till, name="fair_till"),
]
