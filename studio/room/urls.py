"""What the room has. Kilns are looked after in the kiln room, since firings hang on them."""

from django.urls import path

from .views import bars, bodies, glazes

urlpatterns = [
    path("clay/", bodies.bodies, name="bodies"),
    path("clay/new/", bodies.body_new, name="body_new"),
    path("clay/<uuid:pk>/", bodies.body_edit, name="body_edit"),
    path("clay/<uuid:pk>/retire/", bodies.body_retire, name="body_retire"),
    path("clay/<uuid:pk>/bring-back/", bodies.body_bring_back, name="body_bring_back"),
    path("clay/<uuid:pk>/bars/", bars.test_bars, name="test_bars"),
    path("clay/<uuid:pk>/bars/new/", bars.test_bars_new, name="test_bars_new"),
    path("clay/<uuid:pk>/bars/measure/", bars.test_bars_measure, name="test_bars_measure"),
    path("clay/<uuid:pk>/bars/use/", bars.test_bars_use, name="test_bars_use"),
    path("clay/bars/<uuid:pk>/", bars.test_bar_edit, name="test_bar_edit"),
    path("glazes/", glazes.glazes, name="glazes"),
    path("glazes/new/", glazes.glaze_new, name="glaze_new"),
    path("glazes/<uuid:pk>/", glazes.glaze_edit, name="glaze_edit"),
    path("glazes/<uuid:pk>/leach-test/", glazes.glaze_leach_test, name="glaze_leach_test"),
    path("glazes/<uuid:pk>/retire/", glazes.glaze_retire, name="glaze_retire"),
    path("glazes/<uuid:pk>/bring-back/", glazes.glaze_bring_back, name="glaze_bring_back"),
]
