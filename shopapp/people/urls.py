from django.urls import path

from . import views
from .known import views as known
from .members import views as members

app_name = "people"
urlpatterns = [
    path("sign-in/", views.SignIn.as_view(), name="sign_in"),
    path("sign-out/", views.SignOut.as_view(), name="sign_out"),
    path("password/", views.password, name="password"),
    path("people/", known.people, name="people"),
    path("people/new/", known.new, name="new"),
    path("people/choose/", known.choose, name="choose"),
    path("people/<int:pk>/", known.person, name="person"),
    path("people/<int:pk>/change/", known.change, name="change"),
    path("people/<int:pk>/take/", known.take, name="take"),
    path("people/<int:pk>/held/", known.held, name="held"),
    path("people/<int:pk>/held.json", known.held_file, name="held_file"),
    path("people/<int:pk>/erase/", known.erase, name="erase"),
    path("people/sign-in/", members.members, name="members"),
    path("people/sign-in/new/", members.new, name="new_member"),
    path("people/sign-in/<int:pk>/", members.act, name="member_act"),
]
