"""People, classes, dates, rosters, tokens. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    sign_in                                             ok   ok    ok    ok   ok   ok   ok   ok
POST   sign_in                                             ok   ok    ok    ok   ok   ok   ok   ok
GET    sign_in               slug                          ok   ok    ok    ok   ok   ok   ok   ok
POST   sign_in               slug                          ok   ok    ok    ok   ok   ok   ok   ok
POST   sign_out                                            ok   ok    ok    ok   ok   ok   ok   ok
GET    password                                            ok   ok    ok    ok   ok   ok   ok   in
POST   password                                            ok   ok    ok    ok   ok   ok   ok   in
GET    people                                              ok   no    no    no   no   no   no   in
GET    staff_new                                           ok   no    no    no   no   no   no   in
POST   staff_new                                           ok   no    no    no   no   no   no   in
GET    person                student                       ok   ok    --    no   no   no   no   in
GET    person                teacher                       ok   ok    --    no   no   no   no   in
GET    person_edit           student                       ok   no    no    no   no   no   no   in
POST   person_edit           student                       ok   no    no    no   no   no   no   in
POST   person_reset          student                       ok   ok    --    no   no   no   no   in
POST   person_reset          other_teacher                 ok   --    no    no   no   no   no   in
POST   person_unlock         student                       ok   ok    --    no   no   no   no   in
POST   person_account        student                       ok   no    no    no   no   no   no   in
GET    roster                                              ok   no    no    no   no   no   no   in
POST   roster                                              ok   no    no    no   no   no   no   in
GET    roster_preview        digest                        ok   no    no    no   no   no   no   in
POST   roster_apply          digest                        ok   no    no    no   no   no   no   in
GET    settings                                            ok   no    no    no   no   no   no   in
POST   settings                                            ok   no    no    no   no   no   no   in
POST   closure_new                                         ok   no    no    no   no   no   no   in
POST   closure_end           closure                       ok   no    no    no   no   no   no   in
GET    tokens                                              ok   ok    ok    ok   no   no   no   in
POST   tokens                                              ok   ok    ok    ok   no   no   no   in
POST   token_end             token                         --   ok    --    --   no   no   no   in
GET    class_new                                           ok   ok    ok    no   no   no   no   in
POST   class_new                                           ok   ok    ok    no   no   no   no   in
GET    class_edit            class                         ok   ok    --    no   no   no   no   in
POST   class_edit            class                         ok   ok    --    no   no   no   no   in
GET    class_people          class                         ok   ok    --    no   no   no   no   in
POST   class_student_new     class                         ok   ok    --    no   no   no   no   in
POST   class_enrol           class student                 ok   ok    --    no   no   no   no   in
POST   class_enrol           class other_student           ok   --    --    no   no   no   no   in
POST   class_leave           class student                 ok   ok    --    no   no   no   no   in
POST   class_move            class student                 ok   ok    --    no   no   no   no   in
POST   class_absent          class student                 ok   ok    --    no   no   no   no   in
GET    sign_in_cards         class                         ok   ok    --    no   no   no   no   in
POST   sign_in_cards         class                         ok   ok    --    no   no   no   no   in
GET    class_dates           class                         ok   ok    --    no   no   no   no   in
POST   class_dates           class                         ok   ok    --    no   no   no   no   in
POST   class_date_new        class                         ok   ok    --    no   no   no   no   in
GET    class_date            class meeting                 ok   ok    --    no   no   no   no   in
POST   class_date            class meeting                 ok   ok    --    no   no   no   no   in
POST   class_date_cancel     class meeting                 ok   ok    --    no   no   no   no   in
GET    api_me                                              ok   ok    ok    ok   ok   ok   ok   in
GET    api_classes                                         ok   ok    ok    ok   ok   ok   ok   in
GET    api_class             class                         ok   ok    --    ok   ok   ok   --   in
GET    api_class_enrolments  class                         ok   ok    --    ok   ok   ok   --   in
GET    api_class_meetings    class                         ok   ok    --    ok   ok   ok   --   in
POST   api_class_meetings    class                         ok   ok    --    no   no   no   no   in
GET    api_meeting           meeting                       ok   ok    --    ok   ok   ok   --   in
PATCH  api_meeting           meeting                       ok   ok    --    no   no   no   no   in
"""
