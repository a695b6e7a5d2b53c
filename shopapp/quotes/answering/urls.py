"""Below a quote's own address."""

from django.urls import path

from . import views

urlpatterns = [
    path("<int:pk>/link/", views.link, name="link"),
    path("<int:pk>/links/<int:link_pk>/revoke/", views.revoke, name="revoke"),
    path("<int:pk>/send/", views.send, name="send"),
    path("<int:pk>/sent/", views.sent, name="sent"),
    path("<int:pk>/answer/", views.answer, name="answer"),
]
