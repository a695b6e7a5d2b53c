from django.urls import path

from . import views
from .bench import views as bench
from .drawings import views as drawings
from .exchange import views as exchange
from .grid import views as grid
from .pictures import views as pictures
from .reducing import views as reducing
from .woods import views as woods

app_name = "designs"
urlpatterns = [
    path("", views.designs, name="designs"),
    path("aside/", views.designs_aside, name="aside"),
    path("new/", pictures.bring, name="bring"),
    path("blank/", bench.blank, name="blank"),
    path("pattern/", exchange.pattern_in, name="pattern_in"),
    path("pattern-form.json", exchange.pattern_form, name="pattern_form"),
    path("<int:pk>/", views.design, name="design"),
    path("<int:pk>/reading/", pictures.reading, name="reading"),
    path("<int:pk>/whose/", pictures.whose, name="whose"),
    path("<int:pk>/grid/", grid.grid, name="grid"),
    path("<int:pk>/grid/live/", grid.grid_live, name="grid_live"),
    path("<int:pk>/grid/cells.png", grid.grid_cells, name="grid_cells"),
    path("<int:pk>/reduce/", reducing.reduce, name="reduce"),
    path("<int:pk>/reduce/live/", reducing.reduce_live, name="reduce_live"),
    path("<int:pk>/reduce/cells.png", reducing.reduce_cells, name="reduce_cells"),
    path("<int:pk>/woods/", woods.woods, name="woods"),
    path("<int:pk>/bench/", bench.bench, name="bench"),
    path("<int:pk>/bench/keep/", bench.bench_keep, name="bench_keep"),
    path("<int:pk>/bench/newest/", bench.bench_newest, name="bench_newest"),
    path("<int:pk>/bench/hints/", bench.bench_hints, name="bench_hints"),
    path("<int:pk>/drawings/<int:number>/", drawings.drawing, name="drawing"),
    path("<int:pk>/drawings/<int:number>/name/", drawings.rename, name="rename"),
    path("<int:pk>/drawings/<int:first>/against/<int:second>/", drawings.difference, name="difference"),
    path("<int:pk>/drawings/<int:number>/pattern.png", exchange.pattern_png, name="pattern_png"),
    path("<int:pk>/drawings/<int:number>/pattern.json", exchange.pattern_json, name="pattern_json"),
    path("<int:pk>/drawings/<int:number>/pattern.txt", exchange.pattern_text, name="pattern_text"),
    path("<int:pk>/set-aside/", views.set_aside, name="set_aside"),
]
