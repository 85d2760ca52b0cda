"""Pages that cross subjects. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    home                                                go   go    go    go   go   go   ok   in
GET    today                                               ok   ok    ok    ok   no   no   no   in
GET    safety                                              ok   ok    ok    ok   ok   ok   ok   ok
GET    classes                                             ok   ok    ok    ok   no   no   no   in
GET    class                 class                         ok   ok    --    ok   no   no   no   in
GET    class_shown           class                         ok   ok    --    ok   no   no   no   in
GET    pieces                                              no   no    no    no   ok   ok   no   in
GET    piece                 piece                         go   go    go    go   ok   --   no   in
GET    piece                 new_piece                     go   go    go    go   ok   --   no   in
GET    piece                 sent_piece                    go   go    go    go   ok   --   no   in
GET    piece_seen            piece                         ok   ok    --    ok   no   no   no   in
GET    piece_seen            new_piece                     ok   ok    --    ok   no   no   no   in
GET    assignment            assignment                    ok   ok    --    ok   ok   ok   no   in
GET    adjustment            assignment student            ok   ok    --    no   no   no   no   in
POST   adjustment            assignment student            ok   ok    --    no   no   no   no   in
POST   adjustment_drop       assignment student            ok   ok    --    no   no   no   no   in
GET    prints                                              ok   ok    ok    ok   no   no   no   in
GET    shelf_labels_pdf                                    ok   ok    ok    ok   no   no   no   in
GET    cover_list_pdf        class                         ok   ok    --    ok   no   no   no   in
GET    substitute_pdf        class                         ok   ok    --    ok   no   no   no   in
GET    base_labels           assignment                    ok   ok    --    ok   no   no   no   in
GET    base_labels_pdf       assignment                    ok   ok    --    ok   no   no   no   in
GET    class_set             set_assignment                ok   ok    --    no   no   no   no   in
POST   class_set             set_assignment                ok   ok    --    no   no   no   no   in
GET    class_set_progress    set_assignment class_set      ok   ok    --    no   no   no   no   in
GET    class_set_pdf         set_assignment class_set      ok   ok    --    no   no   no   no   in
GET    plan_papers           piece                         ok   ok    --    ok   ok   --   no   in
GET    plan_papers           sent_piece                    ok   ok    --    ok   ok   --   no   in
GET    plan_paper_pdf        sent_piece =template          ok   ok    --    ok   ok   --   no   in
GET    plan_paper_pdf        sent_piece =whole             ok   ok    --    ok   ok   --   no   in
GET    plan_paper_pdf        sent_piece =base              ok   ok    --    ok   ok   --   no   in
GET    plan_paper_pdf        sent_piece =bench             ok   ok    --    ok   ok   --   no   in
"""
