"""The kiln room. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    kiln_room                                           ok   ok    ok    ok   no   no   no   in
GET    kilns                                               ok   ok    ok    ok   no   no   no   in
GET    kiln_new                                            ok   ok    ok    ok   no   no   no   in
POST   kiln_new                                            ok   ok    ok    ok   no   no   no   in
GET    kiln                  kiln                          ok   ok    ok    ok   no   no   no   in
POST   kiln                  kiln                          ok   ok    ok    ok   no   no   no   in
POST   kiln_learned          kiln                          ok   ok    ok    ok   no   no   no   in
POST   kiln_put_away         kiln                          ok   ok    ok    ok   no   no   no   in
POST   kiln_bring_back       kiln                          ok   ok    ok    ok   no   no   no   in
GET    programs                                            ok   ok    ok    ok   no   no   no   in
GET    program_new                                         ok   ok    ok    ok   no   no   no   in
POST   program_new                                         ok   ok    ok    ok   no   no   no   in
POST   program_live                                        ok   ok    ok    ok   no   no   no   in
GET    program               program                       ok   ok    ok    ok   no   no   no   in
POST   program               program                       ok   ok    ok    ok   no   no   no   in
POST   program_retire        program                       ok   ok    ok    ok   no   no   no   in
POST   program_bring_back    program                       ok   ok    ok    ok   no   no   no   in
GET    slot_new                                            ok   ok    ok    ok   no   no   no   in
POST   slot_new                                            ok   ok    ok    ok   no   no   no   in
GET    slot                  slot                          ok   ok    ok    ok   no   no   no   in
GET    slot_move             slot                          ok   ok    ok    ok   no   no   no   in
POST   slot_move             slot                          ok   ok    ok    ok   no   no   no   in
POST   slot_cancel           slot                          ok   ok    ok    ok   no   no   no   in
POST   slot_bring_back       slot                          ok   ok    ok    ok   no   no   no   in
POST   api_compute_packing                                 ok   ok    ok    ok   ok   ok   ok   in
GET    api_kilns                                           ok   ok    ok    ok   no   no   no   in
POST   api_kilns                                           ok   ok    ok    ok   no   no   no   in
GET    api_kiln              kiln                          ok   ok    ok    ok   no   no   no   in
PATCH  api_kiln              kiln                          ok   ok    ok    ok   no   no   no   in
GET    api_programs                                        ok   ok    ok    ok   no   no   no   in
POST   api_programs                                        ok   ok    ok    ok   no   no   no   in
GET    api_program           program                       ok   ok    ok    ok   no   no   no   in
PATCH  api_program           program                       ok   ok    ok    ok   no   no   no   in
GET    api_slots                                           ok   ok    ok    ok   no   no   no   in
POST   api_slots                                           ok   ok    ok    ok   no   no   no   in
POST   api_slots_weekly                                    ok   ok    ok    ok   no   no   no   in
GET    api_slot              slot                          ok   ok    ok    ok   no   no   no   in
PATCH  api_slot              slot                          ok   ok    ok    ok   no   no   no   in
GET    load                  slot                          ok   ok    ok    ok   no   no   no   in
POST   load_fill             slot                          ok   ok    ok    ok   no   no   no   in
POST   load_place            slot                          ok   ok    ok    ok   no   no   no   in
POST   load_change           slot                          ok   ok    ok    ok   no   no   no   in
POST   load_anew             slot                          ok   ok    ok    ok   no   no   no   in
GET    load_move             slot packed_pot               ok   ok    ok    ok   no   no   no   in
POST   load_move             slot packed_pot               ok   ok    ok    ok   no   no   no   in
POST   load_move_live        slot packed_pot               ok   ok    ok    ok   no   no   no   in
GET    load_nest             slot packed_pot               ok   ok    ok    ok   no   no   no   in
POST   load_nest             slot packed_pot               ok   ok    ok    ok   no   no   no   in
POST   load_by_itself        slot packed_pot               ok   ok    ok    ok   no   no   no   in
POST   load_light            slot                          ok   ok    ok    ok   no   no   no   in
POST   load_light_undo       slot                          ok   ok    ok    ok   no   no   no   in
GET    firing_log            slot                          ok   ok    ok    ok   no   no   no   in
POST   firing_log            slot                          ok   ok    ok    ok   no   no   no   in
GET    load                  lit_slot                      ok   ok    ok    ok   no   no   no   in
GET    firing_log            lit_slot                      ok   ok    ok    ok   no   no   no   in
POST   firing_log            lit_slot                      ok   ok    ok    ok   no   no   no   in
POST   firing_witness        lit_slot                      ok   ok    ok    ok   no   no   no   in
POST   firing_witness        slot                          ok   ok    ok    ok   no   no   no   in
POST   firing_off            lit_slot                      ok   ok    ok    ok   no   no   no   in
GET    firing_log            off_slot                      ok   ok    ok    ok   no   no   no   in
GET    firing_unload         off_slot                      ok   ok    ok    ok   no   no   no   in
POST   firing_unload         off_slot                      ok   ok    ok    ok   no   no   no   in
POST   firing_off            slot                          ok   ok    ok    ok   no   no   no   in
POST   firing_meter          off_slot                      ok   ok    ok    ok   no   no   no   in
POST   firing_off_undo       slot                          ok   ok    ok    ok   no   no   no   in
GET    firing_unload         slot                          ok   ok    ok    ok   no   no   no   in
POST   firing_unload         slot                          ok   ok    ok    ok   no   no   no   in
GET    week_plan                                           ok   ok    ok    ok   no   no   no   in
POST   week_plan                                           ok   ok    ok    ok   no   no   no   in
GET    week_plan_progress    week_plan                     ok   ok    ok    ok   no   no   no   in
POST   week_plan_take        week_plan slot                ok   ok    ok    ok   no   no   no   in
GET    kiln_schedule                                       ok   ok    ok    ok   no   no   no   in
GET    kiln_schedule_pdf                                 ok   ok    ok    ok   no   no   no   in
GET    kiln_calendars                                      ok   ok    ok    ok   no   no   no   in
POST   kiln_calendars                                      ok   ok    ok    ok   no   no   no   in
POST   kiln_calendar_end     studio_calendar               ok   ok    ok    ok   no   no   no   in
POST   kiln_calendar_end     class_calendar                ok   ok    --    --   no   no   no   in
GET    kiln_calendar         calendar_secret               ok   ok    ok    ok   ok   ok   ok   ok
GET    api_load              slot                          ok   ok    ok    ok   no   no   no   in
GET    api_placements        slot                          ok   ok    ok    ok   no   no   no   in
POST   api_placements        slot                          ok   ok    ok    ok   no   no   no   in
GET    api_waiting           slot                          ok   ok    ok    ok   no   no   no   in
POST   api_load_fill         slot                          ok   ok    ok    ok   no   no   no   in
POST   api_load_take_out     slot                          ok   ok    ok    ok   no   no   no   in
POST   api_load_pin          slot                          ok   ok    ok    ok   no   no   no   in
POST   api_load_move         slot                          ok   ok    ok    ok   no   no   no   in
POST   api_load_nest         slot packed_pot               ok   ok    ok    ok   no   no   no   in
DELETE api_load_nest         slot packed_pot               ok   ok    ok    ok   no   no   no   in
POST   api_load_anew         slot                          ok   ok    ok    ok   no   no   no   in
POST   api_light             slot                          ok   ok    ok    ok   no   no   no   in
POST   api_light_undo        slot                          ok   ok    ok    ok   no   no   no   in
GET    api_firing_log        slot                          ok   ok    ok    ok   no   no   no   in
POST   api_firing_log        slot                          ok   ok    ok    ok   no   no   no   in
GET    api_firing_witness    lit_slot                      ok   ok    ok    ok   no   no   no   in
POST   api_firing_witness    lit_slot                      ok   ok    ok    ok   no   no   no   in
DELETE api_firing_witness_one lit_slot witness_reading     ok   ok    ok    ok   no   no   no   in
POST   api_firing_off        slot                          ok   ok    ok    ok   no   no   no   in
POST   api_firing_off_undo   slot                          ok   ok    ok    ok   no   no   no   in
POST   api_compute_firing                                  ok   ok    ok    ok   ok   ok   ok   in
POST   api_firing_unload     slot                          ok   ok    ok    ok   no   no   no   in
"""
