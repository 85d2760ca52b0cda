"""The kiln room: programs, firing slots, loads, the firing log."""

from django.urls import path

from .views import calendars, firing, loads, moving, programs, room, schedule, slots, week_plan

urlpatterns = [
    path("kilns/", room.kiln_room, name="kiln_room"),
    path("kilns/all/", room.kilns, name="kilns"),
    path("kilns/new/", room.kiln_new, name="kiln_new"),
    path("kilns/<uuid:pk>/", room.kiln, name="kiln"),
    path("kilns/<uuid:pk>/learned/", room.kiln_learned, name="kiln_learned"),
    path("kilns/<uuid:pk>/put-away/", room.kiln_put_away, name="kiln_put_away"),
    path("kilns/<uuid:pk>/bring-back/", room.kiln_bring_back, name="kiln_bring_back"),
    path("kilns/programs/", programs.programs, name="programs"),
    path("kilns/programs/new/", programs.program_new, name="program_new"),
    path("kilns/programs/live/", programs.program_live, name="program_live"),
    path("kilns/programs/<uuid:pk>/", programs.program, name="program"),
    path("kilns/programs/<uuid:pk>/retire/", programs.program_retire, name="program_retire"),
    path(
        "kilns/programs/<uuid:pk>/bring-back/",
        programs.program_bring_back,
        name="program_bring_back",
    ),
    path("kilns/slots/new/", slots.slot_new, name="slot_new"),
    path("kilns/slots/<uuid:pk>/", slots.slot, name="slot"),
    path("kilns/slots/<uuid:pk>/move/", slots.slot_move, name="slot_move"),
    path("kilns/slots/<uuid:pk>/cancel/", slots.slot_cancel, name="slot_cancel"),
    path("kilns/slots/<uuid:pk>/bring-back/", slots.slot_bring_back, name="slot_bring_back"),
    path("kilns/slots/<uuid:pk>/load/", loads.load, name="load"),
    path("kilns/slots/<uuid:pk>/load/fill/", loads.load_fill, name="load_fill"),
    path("kilns/slots/<uuid:pk>/load/place/", loads.load_place, name="load_place"),
    path("kilns/slots/<uuid:pk>/load/change/", loads.load_change, name="load_change"),
    path("kilns/slots/<uuid:pk>/load/anew/", loads.load_anew, name="load_anew"),
    path("kilns/slots/<uuid:pk>/load/<uuid:pot>/", moving.load_move, name="load_move"),
    path(
        "kilns/slots/<uuid:pk>/load/<uuid:pot>/live/",
        moving.load_move_live,
        name="load_move_live",
    ),
    path("kilns/slots/<uuid:pk>/lit/", loads.load_light, name="load_light"),
    path("kilns/slots/<uuid:pk>/lit/undo/", loads.load_light_undo, name="load_light_undo"),
    path("kilns/slots/<uuid:pk>/log/", firing.firing_log, name="firing_log"),
    path("kilns/slots/<uuid:pk>/witness/", firing.firing_witness, name="firing_witness"),
    path("kilns/slots/<uuid:pk>/off/", firing.firing_off, name="firing_off"),
    path("kilns/slots/<uuid:pk>/off/undo/", firing.firing_off_undo, name="firing_off_undo"),
    path("kilns/slots/<uuid:pk>/meter/", firing.firing_meter, name="firing_meter"),
    path("kilns/slots/<uuid:pk>/unload/", firing.firing_unload, name="firing_unload"),
    path("kilns/calendars/", calendars.kiln_calendars, name="kiln_calendars"),
    path("kilns/calendars/<uuid:pk>/end/", calendars.kiln_calendar_end, name="kiln_calendar_end"),
    path("kilns/calendar/<str:secret>.ics", calendars.kiln_calendar, name="kiln_calendar"),
    path("kilns/week/", week_plan.week_plan, name="week_plan"),
    path("kilns/week/<uuid:job>/", week_plan.week_plan_progress, name="week_plan_progress"),
    path(
        "kilns/week/<uuid:job>/<uuid:slot>/take/", week_plan.week_plan_take, name="week_plan_take"
    ),
    path("kilns/schedule/", schedule.kiln_schedule, name="kiln_schedule"),
    path("kilns/schedule/pdf/", schedule.kiln_schedule_pdf, name="kiln_schedule_pdf"),
]
