from django.urls import path

from . import views
from .shorts import views as shorts

app_name = "plans"
urlpatterns = [
    path("", views.plans, name="plans"),
    path("shorts/", shorts.shorts, name="shorts"),
    path("reckon/<int:design_pk>/", views.reckoning, name="reckoning"),
    path("reckon/<int:design_pk>/bench/", views.bench_reckoning, name="bench_reckoning"),
    path("<int:pk>/", views.plan, name="plan"),
    path("<int:pk>/sheet/", views.sheet, name="sheet"),
    path("<int:pk>/sheet/state/", views.sheet_state, name="sheet_state"),
    path("<int:pk>/build-sheet.pdf", views.sheet_pdf, name="sheet_pdf"),
]
