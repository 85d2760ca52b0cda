"""The kiln room: programs, firing slots, loads, the firing log, under /api/."""

from django.urls import path

from . import compute_firing, compute_packing, firing, kilns, loads, programs, slots

urlpatterns = [
    path("compute/firing/", compute_firing.FiringCompute.as_view(), name="api_compute_firing"),
    path("compute/packing/", compute_packing.PackingCompute.as_view(), name="api_compute_packing"),
    path("kilns/", kilns.Kilns.as_view(), name="api_kilns"),
    path("kilns/<uuid:pk>/", kilns.OneKiln.as_view(), name="api_kiln"),
    path("programs/", programs.Programs.as_view(), name="api_programs"),
    path("programs/<uuid:pk>/", programs.OneProgram.as_view(), name="api_program"),
    path("slots/", slots.Slots.as_view(), name="api_slots"),
    path("slots/weekly/", slots.WeeklySlots.as_view(), name="api_slots_weekly"),
    path("slots/<uuid:pk>/", slots.OneSlot.as_view(), name="api_slot"),
    path("slots/<uuid:pk>/load/", loads.SlotLoad.as_view(), name="api_load"),
    path("slots/<uuid:pk>/placements/", loads.SlotPlacements.as_view(), name="api_placements"),
    path("slots/<uuid:pk>/waiting/", loads.SlotWaiting.as_view(), name="api_waiting"),
    path("slots/<uuid:pk>/fill/", loads.SlotFill.as_view(), name="api_load_fill"),
    path("slots/<uuid:pk>/take-out/", loads.SlotTakeOut.as_view(), name="api_load_take_out"),
    path("slots/<uuid:pk>/pin/", loads.SlotPin.as_view(), name="api_load_pin"),
    path("slots/<uuid:pk>/anew/", loads.SlotAnew.as_view(), name="api_load_anew"),
    path("slots/<uuid:pk>/move/", loads.SlotMove.as_view(), name="api_load_move"),
    path("slots/<uuid:pk>/nest/<uuid:pot>/", loads.SlotNest.as_view(), name="api_load_nest"),
    path("slots/<uuid:pk>/light/", firing.FiringLight.as_view(), name="api_light"),
    path("slots/<uuid:pk>/light/undo/", firing.FiringLightUndo.as_view(), name="api_light_undo"),
    path("slots/<uuid:pk>/log/", firing.FiringLog.as_view(), name="api_firing_log"),
    path("slots/<uuid:pk>/witness/", firing.FiringWitness.as_view(), name="api_firing_witness"),
    path(
        "slots/<uuid:pk>/witness/<uuid:reading>/",
        firing.FiringWitnessOne.as_view(),
        name="api_firing_witness_one",
    ),
    path("slots/<uuid:pk>/off/", firing.FiringOff.as_view(), name="api_firing_off"),
    path("slots/<uuid:pk>/off/undo/", firing.FiringOffUndo.as_view(), name="api_firing_off_undo"),
    path("slots/<uuid:pk>/unload/", firing.FiringUnload.as_view(), name="api_firing_unload"),
]
