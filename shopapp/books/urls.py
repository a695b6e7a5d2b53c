from django.urls import path

from . import views
from .onpaper import views as onpaper

app_name = "books"
urlpatterns = [
    path("", views.now, name="now"),
    path("begins/", views.begins, name="begins"),
    path("stock/", views.stock, name="stock"),
    path("stock.csv", views.stock_csv, name="stock_csv"),
    path("<int:year>/", views.year, name="year"),
    path("<int:year>/<int:month>/", views.month, name="month"),
    path("<int:year>/print/", views.sheet, name="sheet"),
    path("<int:year>/paper/", onpaper.ask, name="ask_paper"),
    path("<int:year>/paper/state/", onpaper.state, name="paper_state"),
    path("<int:year>/paper/<int:year_paper_pk>/year.pdf", onpaper.pdf, name="paper_pdf"),
    path("<int:year>/entries/<slug:what>/", views.entries, name="entries"),
    path("<int:year>/entries/<slug:what>.csv", views.entries_csv, name="entries_csv"),
    path("<int:year>/<slug:part>/entries/<slug:what>/", views.rows, name="rows"),
    path("<int:year>/<slug:part>/entries/<slug:what>.csv", views.rows_csv, name="rows_csv"),
    path("<int:year>/<slug:table>.csv", views.table_csv, name="table_csv"),
    path("<int:year>/<slug:part>/", views.part, name="part"),
]
