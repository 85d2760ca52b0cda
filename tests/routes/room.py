"""What the room has. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    bodies                                              ok   ok    ok    ok   no   no   no   in
GET    body_new                                            ok   ok    ok    ok   no   no   no   in
POST   body_new                                            ok   ok    ok    ok   no   no   no   in
GET    body_edit             body                          ok   ok    ok    ok   no   no   no   in
POST   body_edit             body                          ok   ok    ok    ok   no   no   no   in
POST   body_retire           body                          ok   ok    ok    ok   no   no   no   in
POST   body_bring_back       body                          ok   ok    ok    ok   no   no   no   in
GET    api_clay_bodies                                     ok   ok    ok    ok   no   no   no   in
POST   api_clay_bodies                                     ok   ok    ok    ok   no   no   no   in
GET    api_clay_body         body                          ok   ok    ok    ok   no   no   no   in
PATCH  api_clay_body         body                          ok   ok    ok    ok   no   no   no   in
GET    test_bars             body                          ok   ok    ok    ok   no   no   no   in
GET    test_bars_new         body                          ok   ok    ok    ok   no   no   no   in
POST   test_bars_new         body                          ok   ok    ok    ok   no   no   no   in
GET    test_bars_measure     body                          ok   ok    ok    ok   no   no   no   in
POST   test_bars_measure     body                          ok   ok    ok    ok   no   no   no   in
POST   test_bars_use         body                          ok   ok    ok    ok   no   no   no   in
GET    test_bar_edit         test_bar                      ok   ok    ok    ok   no   no   no   in
POST   test_bar_edit         test_bar                      ok   ok    ok    ok   no   no   no   in
GET    api_test_bars         body                          ok   ok    ok    ok   no   no   no   in
POST   api_test_bars         body                          ok   ok    ok    ok   no   no   no   in
GET    api_test_bar          test_bar                      ok   ok    ok    ok   no   no   no   in
PATCH  api_test_bar          test_bar                      ok   ok    ok    ok   no   no   no   in
GET    api_clay_body_shrinkage  body                       ok   ok    ok    ok   no   no   no   in
POST   api_clay_body_shrinkage  body                       ok   ok    ok    ok   no   no   no   in
GET    glazes                                              ok   ok    ok    ok   no   no   no   in
GET    glaze_new                                           ok   ok    ok    ok   no   no   no   in
POST   glaze_new                                           ok   ok    ok    ok   no   no   no   in
GET    glaze_edit            glaze                         ok   ok    ok    ok   no   no   no   in
POST   glaze_edit            glaze                         ok   ok    ok    ok   no   no   no   in
POST   glaze_leach_test      glaze                         ok   no    no    ok   no   no   no   in
POST   glaze_retire          glaze                         ok   ok    ok    ok   no   no   no   in
POST   glaze_bring_back      glaze                         ok   ok    ok    ok   no   no   no   in
GET    api_glazes                                          ok   ok    ok    ok   ok   ok   ok   in
POST   api_glazes                                          ok   ok    ok    ok   no   no   no   in
GET    api_glaze             glaze                         ok   ok    ok    ok   ok   ok   --   in
PATCH  api_glaze             glaze                         ok   ok    ok    ok   no   no   no   in
"""
