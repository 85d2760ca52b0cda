"""A pot at the bench: rows laid, build checks, carrying on."""

from django.urls import path

from .views import bench, carrying_on, checks

urlpatterns = [
    path("pots/<uuid:pk>/bench/", bench.bench, name="bench"),
    path("pots/<uuid:pk>/bench/row/", bench.bench_row, name="bench_row"),
    path("pots/<uuid:pk>/bench/height/", bench.bench_height, name="bench_height"),
    path("pots/<uuid:pk>/bench/check/", checks.build_check_new, name="build_check_new"),
    path("build-checks/<uuid:pk>/", checks.build_check, name="build_check"),
    path("build-checks/<uuid:pk>/strike/", checks.build_check_strike, name="build_check_strike"),
    path("build-checks/<uuid:pk>/carry-on/", checks.carry_on_ask, name="carry_on_ask"),
    path("carry-ons/<uuid:pk>/", carrying_on.carry_on, name="carry_on"),
    path("carry-ons/<uuid:pk>/answer/", carrying_on.carry_on_answer, name="carry_on_answer"),
    path(
        "carry-ons/<uuid:pk>/take-back/",
        carrying_on.carry_on_take_back,
        name="carry_on_take_back",
    ),
]
