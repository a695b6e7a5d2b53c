"""Addresses of entries of money, under /listings/."""

from django.urls import path

from . import views

urlpatterns = [
    path("expenses/<int:expense_pk>/", views.expense, name="expense"),
    path("given-back/<int:change_pk>/", views.given_back, name="given_back"),
]
