"""Pots, places, checks. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    pot                   pot                           ok   ok    --    ok   ok   --   no   in
GET    pot                   lost_pot                      ok   ok    --    ok   ok   --   no   in
GET    pot                   glazed_pot                    ok   ok    --    ok   ok   --   no   in
POST   pot_begin             pot_piece                     ok   ok    --    ok   no   no   no   in
POST   pot_stage             pot                           ok   ok    --    ok   ok   --   no   in
POST   pot_place             pot                           ok   ok    --    ok   ok   --   no   in
POST   pot_cover             pot                           ok   ok    --    ok   ok   --   no   in
POST   pot_built             pot                           ok   ok    --    ok   ok   --   no   in
POST   pot_photos_add        pot                           ok   ok    --    ok   ok   --   no   in
GET    pot_photo_card        pot_photo                     ok   ok    --    ok   ok   --   no   in
GET    pot_photo_image       pot_photo =small              ok   ok    --    ok   ok   --   no   in
GET    pot_photo_image       pot_photo =full               ok   ok    --    ok   ok   --   no   in
GET    greenware             pot                           ok   ok    --    ok   no   no   no   in
POST   greenware             pot                           ok   ok    --    ok   no   no   no   in
POST   greenware_take_back   pot                           ok   ok    --    ok   no   no   no   in
GET    glaze_check           glazed_pot                    ok   ok    --    ok   no   no   no   in
POST   glaze_check           glazed_pot                    ok   ok    --    ok   no   no   no   in
GET    pot_flaw              pot                           ok   ok    --    ok   ok   --   no   in
POST   pot_flaw              pot                           ok   ok    --    ok   ok   --   no   in
GET    pot_lost              pot                           ok   ok    --    ok   no   no   no   in
POST   pot_lost              pot                           ok   ok    --    ok   no   no   no   in
POST   pot_found             lost_pot                      ok   ok    --    ok   no   no   no   in
POST   flaw_cause            flaw                          ok   ok    --    ok   no   no   no   in
POST   loss_cause            loss                          ok   ok    --    ok   no   no   no   in
GET    places                                              ok   ok    ok    ok   no   no   no   in
POST   places                                              ok   ok    ok    ok   no   no   no   in
GET    place                 place                         ok   ok    ok    ok   ok   ok   no   in
GET    place_edit            place                         ok   ok    ok    ok   no   no   no   in
POST   place_edit            place                         ok   ok    ok    ok   no   no   no   in
POST   place_retire          place                         ok   ok    ok    ok   no   no   no   in
POST   place_bring_back      place                         ok   ok    ok    ok   no   no   no   in
POST   place_put             place                         ok   ok    ok    ok   ok   ok   no   in
POST   place_cover           place                         ok   ok    ok    ok   ok   ok   no   in
GET    class_pots            class                         ok   ok    --    ok   no   no   no   in
POST   class_pots            class                         ok   ok    --    ok   no   no   no   in
GET    cover_list            class                         ok   ok    --    ok   no   no   no   in
POST   cover_list            class                         ok   ok    --    ok   no   no   no   in
GET    dryness                                             ok   ok    ok    ok   no   no   no   in
GET    weigh_drying          pot                           ok   ok    --    ok   no   no   no   in
POST   weigh_drying          pot                           ok   ok    --    ok   no   no   no   in
GET    weigh_built           assignment                    ok   ok    --    ok   no   no   no   in
POST   weigh_built           assignment                    ok   ok    --    ok   no   no   no   in
POST   dryness                                             ok   ok    ok    ok   no   no   no   in
GET    api_pots                                            ok   ok    ok    ok   ok   ok   ok   in
POST   api_pots_stage                                      ok   ok    ok    ok   ok   ok   ok   in
POST   api_pots_place                                      ok   ok    ok    ok   ok   ok   ok   in
POST   api_pots_cover                                      ok   ok    ok    ok   ok   ok   ok   in
POST   api_pots_dryness                                    ok   ok    ok    ok   no   no   no   in
GET    api_pot               pot                           ok   ok    --    ok   ok   --   --   in
GET    api_pot_stages        pot                           ok   ok    --    ok   ok   --   --   in
POST   api_pot_built         pot                           ok   ok    --    ok   ok   --   --   in
GET    api_pot_dryness       pot                           ok   ok    --    ok   ok   --   --   in
GET    api_weighings         pot                           ok   ok    --    ok   ok   --   --   in
POST   api_weighings         pot                           ok   ok    --    ok   no   no   no   in
GET    api_greenware         pot                           ok   ok    --    ok   ok   --   --   in
POST   api_greenware         pot                           ok   ok    --    ok   no   no   no   in
POST   api_greenware_take_back pot                         ok   ok    --    ok   no   no   no   in
GET    api_glaze_checks      glazed_pot                    ok   ok    --    ok   ok   --   --   in
POST   api_glaze_checks      glazed_pot                    ok   ok    --    ok   no   no   no   in
GET    api_pot_flaws         pot                           ok   ok    --    ok   ok   --   --   in
POST   api_pot_flaws         pot                           ok   ok    --    ok   ok   --   --   in
GET    api_pot_losses        lost_pot                      ok   ok    --    ok   ok   --   --   in
POST   api_pot_losses        lost_pot                      ok   ok    --    ok   no   no   no   in
POST   api_pot_found         lost_pot                      ok   ok    --    ok   no   no   no   in
GET    api_pot_photos        pot                           ok   ok    --    ok   ok   --   --   in
POST   api_pot_photos        pot                           ok   ok    --    ok   ok   --   --   in
POST   api_piece_pots        pot_piece                     ok   ok    --    ok   no   no   no   in
PUT    api_flaw_cause        flaw                          ok   ok    --    ok   no   no   no   in
PUT    api_loss_cause        loss                          ok   ok    --    ok   no   no   no   in
GET    api_places                                          ok   ok    ok    ok   ok   ok   ok   in
POST   api_places                                          ok   ok    ok    ok   no   no   no   in
GET    api_place             place                         ok   ok    ok    ok   ok   ok   --   in
PATCH  api_place             place                         ok   ok    ok    ok   no   no   no   in
"""
