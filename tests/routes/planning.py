"""From brief to approved plan. How to read it: `tests/routes/__init__.py`."""

TABLE = """
POST   thumbnails_add        piece                         no   no    no    no   ok   --   no   in
POST   refinements_add       piece                         no   no    no    no   ok   --   no   in
POST   sheets_add            piece                         no   no    no    no   ok   --   no   in
GET    sheet                 sheet                         no   no    no    no   ok   --   no   in
GET    sheet                 taken_sheet                   no   no    no    no   ok   --   no   in
POST   sheet_boxes           sheet                         no   no    no    no   ok   --   no   in
POST   sheet_take            sheet                         no   no    no    no   ok   --   no   in
POST   sheet_put_away        sheet                         no   no    no    no   ok   --   no   in
GET    sheet_image           sheet =small                  ok   ok    --    ok   ok   --   no   in
GET    thumbnail             thumbnail                     no   no    no    no   ok   --   no   in
POST   thumbnail             thumbnail                     no   no    no    no   ok   --   no   in
POST   thumbnail_move        thumbnail                     no   no    no    no   ok   --   no   in
GET    drawing_card          =thumbnail thumbnail          no   no    no    no   ok   --   no   in
GET    drawing_card          =refinement refinement        no   no    no    no   ok   --   no   in
GET    drawing_image         =thumbnail thumbnail =small   ok   ok    --    ok   ok   --   no   in
GET    drawing_image         =refinement refinement =full  ok   ok    --    ok   ok   --   no   in
POST   drawing_withdraw      =thumbnail thumbnail          no   no    no    no   ok   --   no   in
POST   drawing_withdraw      =refinement refinement        no   no    no    no   ok   --   no   in
POST   drawing_bring_back    =thumbnail withdrawn          no   no    no    no   ok   --   no   in
GET    choose                piece                         no   no    no    no   ok   --   no   in
POST   choose                piece                         no   no    no    no   ok   --   no   in
GET    choose                new_piece                     no   no    no    no   ok   --   no   in
POST   let_choose            new_piece                     ok   ok    --    no   no   no   no   in
GET    ideas_by_hand         piece                         ok   ok    --    no   no   no   no   in
POST   ideas_by_hand         piece                         ok   ok    --    no   no   no   no   in
POST   idea_change_undo      idea_change                   ok   ok    --    no   no   no   no   in
GET    plan                  piece                         no   no    no    no   ok   --   no   in
POST   plan                  piece                         no   no    no    no   ok   --   no   in
GET    plan                  chosen_piece                  no   no    no    no   ok   --   no   in
POST   plan                  chosen_piece                  no   no    no    no   ok   --   no   in
GET    plan                  sent_piece                    no   no    no    no   go   --   no   in
POST   plan_live             piece                         no   no    no    no   ok   --   no   in
POST   plan_begin_again      piece                         no   no    no    no   ok   --   no   in
POST   plan_take_back        plan                          no   no    no    no   ok   --   no   in
GET    plan_photos           piece                         no   no    no    no   ok   --   no   in
POST   plan_photos           piece                         no   no    no    no   ok   --   no   in
GET    plan_photos           new_piece                     no   no    no    no   go   --   no   in
GET    plan_photo            plan_photo                    ok   ok    --    no   ok   --   no   in
GET    plan_photo            untraced_photo                ok   ok    --    no   ok   --   no   in
GET    plan_photo            tapped_photo                  ok   ok    --    no   ok   --   no   in
POST   plan_photo_correct    plan_photo                    no   no    no    no   ok   --   no   in
POST   plan_photo_live       plan_photo                    no   no    no    no   ok   --   no   in
POST   plan_photo_scale      plan_photo                    no   no    no    no   ok   --   no   in
POST   plan_photo_tap        tapped_photo                  no   no    no    no   ok   --   no   in
POST   plan_photo_by_hand    untraced_photo                no   no    no    no   ok   --   no   in
POST   plan_photo_remove     plan_photo                    no   no    no    no   ok   --   no   in
GET    plan_photo_image      plan_photo =small             ok   ok    --    ok   ok   --   no   in
GET    scale_card_pdf                                      ok   ok    ok    ok   ok   ok   no   in
GET    thumbnail_sheet_pdf   piece                         ok   ok    --    ok   ok   --   no   in
GET    thumbnail_sheets_pdf  assignment                    ok   ok    --    ok   no   no   no   in
GET    scans                 assignment                    ok   ok    --    no   no   no   no   in
POST   scans                 assignment                    ok   ok    --    no   no   no   no   in
GET    scan                  scan                          ok   ok    --    no   no   no   no   in
POST   scan_page_give        scan_page                     ok   ok    --    no   no   no   no   in
POST   scan_page_put_away    scan_page                     ok   ok    --    no   no   no   no   in
GET    scan_page_image       scan_page =small              ok   ok    --    no   no   no   no   in
GET    plans                                               ok   ok    ok    no   no   no   no   in
GET    plan_review           plan                          ok   ok    --    no   no   no   no   in
POST   plan_review           plan                          ok   ok    --    no   no   no   no   in
GET    solid                 plan                          ok   ok    --    ok   ok   --   no   in
GET    solid_shape           plan                          ok   ok    --    ok   ok   --   no   in
GET    solid_stl             plan =wet                     ok   ok    --    ok   ok   --   no   in
GET    solid_stl             plan =fired                   ok   ok    --    ok   ok   --   no   in
GET    source_forms                                        ok   ok    ok    no   no   no   no   in
POST   source_forms                                        ok   ok    ok    no   no   no   no   in
GET    source_form_edit      source_form                   ok   ok    ok    no   no   no   no   in
POST   source_form_edit      source_form                   ok   ok    ok    no   no   no   no   in
POST   source_form_retire    source_form                   ok   ok    ok    no   no   no   no   in
POST   source_form_offer     source_form                   ok   ok    ok    no   no   no   no   in
GET    briefs                                              ok   ok    ok    no   no   no   no   in
GET    brief_new                                           ok   ok    ok    no   no   no   no   in
POST   brief_new                                           ok   ok    ok    no   no   no   no   in
GET    brief                 brief                         ok   ok    ok    no   no   no   no   in
GET    brief_edit            brief                         ok   ok    ok    no   no   no   no   in
POST   brief_edit            brief                         ok   ok    ok    no   no   no   no   in
POST   brief_copy            brief                         ok   ok    ok    no   no   no   no   in
POST   brief_put_away        brief                         ok   ok    ok    no   no   no   no   in
POST   brief_take_out        brief                         ok   ok    ok    no   no   no   no   in
GET    give_brief            brief                         ok   ok    ok    no   no   no   no   in
POST   give_brief            brief                         ok   ok    ok    no   no   no   no   in
GET    assignment_dates      assignment                    ok   ok    --    no   no   no   no   in
POST   assignment_dates      assignment                    ok   ok    --    no   no   no   no   in
POST   pieces_start          assignment                    ok   ok    --    no   no   no   no   in
POST   assignment_ideas      assignment                    ok   ok    --    no   no   no   no   in
GET    drawings_alike        assignment                    ok   ok    --    no   no   no   no   in
POST   drawings_alike        assignment                    ok   ok    --    no   no   no   no   in
POST   assignment_take_back  assignment                    ok   ok    --    no   no   no   no   in
GET    api_pieces                                          ok   ok    ok    ok   ok   ok   ok   in
GET    api_piece             piece                         ok   ok    --    ok   ok   --   --   in
GET    api_piece_thumbnails  piece                         ok   ok    --    ok   ok   --   --   in
POST   api_piece_thumbnails  piece                         --   --    --    --   ok   --   --   in
GET    api_piece_sheets      piece                         ok   ok    --    ok   ok   --   --   in
POST   api_piece_sheets      piece                         --   --    --    --   ok   --   --   in
POST   api_sheet_take        sheet                         --   --    --    --   ok   --   --   in
GET    api_piece_refinements piece                         ok   ok    --    ok   ok   --   --   in
POST   api_piece_refinements piece                         --   --    --    --   ok   --   --   in
GET    api_piece_choice      piece                         ok   ok    --    ok   ok   --   --   in
PUT    api_piece_choice      piece                         --   --    --    --   ok   --   --   in
GET    api_piece_ideas       piece                         ok   ok    --    no   no   no   no   in
GET    api_idea_changes      piece                         ok   ok    --    no   no   no   no   in
POST   api_idea_changes      piece                         ok   ok    --    no   no   no   no   in
POST   api_idea_change_undo  idea_change                   ok   ok    --    no   no   no   no   in
GET    api_piece_plans       sent_piece                    ok   ok    --    ok   ok   --   --   in
GET    api_plan_draft        piece                         --   --    --    --   ok   --   --   in
PUT    api_plan_draft        piece                         --   --    --    --   ok   --   --   in
POST   api_plan_send         piece                         --   --    --    --   ok   --   --   in
GET    api_plans                                           ok   ok    ok    ok   ok   ok   ok   in
POST   api_plan_take_back    plan                          no   no    --    no   ok   --   --   in
POST   api_plan_approve      plan                          ok   ok    --    no   no   no   no   in
POST   api_plan_send_back    plan                          ok   ok    --    no   no   no   no   in
GET    api_briefs                                          ok   ok    ok    no   no   no   no   in
POST   api_briefs                                          ok   ok    ok    no   no   no   no   in
GET    api_brief             brief                         ok   ok    ok    no   no   no   no   in
PATCH  api_brief             brief                         ok   ok    ok    no   no   no   no   in
POST   api_brief_copies      brief                         ok   ok    ok    no   no   no   no   in
POST   api_brief_give        brief                         ok   ok    ok    no   no   no   no   in
GET    api_source_forms                                    ok   ok    ok    no   no   no   no   in
POST   api_source_forms                                    ok   ok    ok    no   no   no   no   in
PATCH  api_source_form       source_form                   ok   ok    ok    no   no   no   no   in
GET    api_assignments                                     ok   ok    ok    ok   ok   ok   ok   in
GET    api_assignment        assignment                    ok   ok    --    ok   ok   ok   --   in
GET    api_assignment_dates  assignment                    ok   ok    --    no   no   no   no   in
PUT    api_assignment_dates  assignment                    ok   ok    --    no   no   no   no   in
PUT    api_assignment_ideas  assignment                    ok   ok    --    no   no   no   no   in
POST   api_assignment_pieces assignment                    ok   ok    --    no   no   no   no   in
POST   api_compute_plan                                    ok   ok    ok    ok   ok   ok   ok   in
POST   api_compute_build_check                             ok   ok    ok    ok   ok   ok   ok   in
POST   api_compute_drawing                                 ok   ok    ok    ok   ok   ok   ok   in
POST   api_compute_exploration                             ok   ok    ok    ok   ok   ok   ok   in
POST   api_compute_sheet                                   ok   ok    ok    ok   ok   ok   ok   in
"""
