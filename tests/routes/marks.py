"""Criteria, rubrics, marks, results. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    rubrics                                             ok   ok    ok    no   no   no   no   in
POST   rubrics                                             ok   ok    ok    no   no   no   no   in
GET    rubric_new                                          ok   ok    ok    no   no   no   no   in
POST   rubric_new                                          ok   ok    ok    no   no   no   no   in
GET    rubric                rubric                        ok   ok    ok    no   no   no   no   in
GET    rubric_edit           rubric                        ok   ok    ok    no   no   no   no   in
POST   rubric_edit           rubric                        ok   ok    ok    no   no   no   no   in
POST   rubric_put_away       rubric                        ok   ok    ok    no   no   no   no   in
POST   rubric_take_out       rubric                        ok   ok    ok    no   no   no   no   in
GET    assignment_rubric     assignment                    ok   ok    --    no   ok   ok   no   in
POST   assignment_rubric     assignment                    ok   ok    --    no   no   no   no   in
GET    marking                                             ok   ok    ok    no   no   no   no   in
GET    marking_class         assignment                    ok   ok    --    no   no   no   no   in
GET    marking_class         released_assignment           ok   ok    --    no   no   no   no   in
GET    marking_piece         piece                         ok   ok    --    no   no   no   no   in
GET    marking_piece         marked_piece                  ok   ok    --    no   no   no   no   in
GET    marking_piece         released_piece                ok   ok    --    no   no   no   no   in
POST   marking_piece         marked_piece                  ok   ok    --    no   no   no   no   in
POST   marking_draft         marked_piece                  ok   ok    --    no   no   no   no   in
GET    marking_release       marked_assignment             ok   ok    --    no   no   no   no   in
POST   marking_release       marked_assignment             ok   ok    --    no   no   no   no   in
GET    result                released_piece                ok   ok    --    no   ok   --   no   in
POST   release_again         released_piece                ok   ok    --    no   no   no   no   in
GET    report_pdf            released_piece                ok   ok    --    no   ok   --   no   in
GET    mark_sheet_pdf        released_assignment           ok   ok    --    no   no   no   no   in
GET    reports_pdf           released_assignment           ok   ok    --    no   no   no   no   in
GET    marks_csv             released_assignment           ok   ok    --    no   no   no   no   in
GET    gradebook_zip         released_assignment           ok   ok    --    no   no   no   no   in
GET    api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
PUT    api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
DELETE api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
GET    api_criteria                                        ok   ok    ok    no   no   no   no   in
GET    api_rubrics                                         ok   ok    ok    no   no   no   no   in
POST   api_rubrics                                         ok   ok    ok    no   no   no   no   in
GET    api_rubric            rubric                        ok   ok    ok    no   no   no   no   in
PUT    api_rubric            rubric                        ok   ok    ok    no   no   no   no   in
GET    api_rubric_versions   rubric                        ok   ok    ok    no   no   no   no   in
GET    api_assignment_rubric assignment                    ok   ok    --    no   ok   ok   no   in
PUT    api_assignment_rubric assignment                    ok   ok    --    no   no   no   no   in
POST   api_assignment_release marked_assignment            ok   ok    --    no   no   no   no   in
GET    api_piece_markings    marked_piece                  ok   ok    --    no   no   no   no   in
PUT    api_piece_marking     marked_piece                  ok   ok    --    no   no   no   no   in
GET    api_piece_results     released_piece                ok   ok    --    no   ok   --   no   in
POST   api_piece_results     released_piece                ok   ok    --    no   no   no   no   in
GET    api_results                                         ok   ok    ok    no   ok   ok   no   in
"""
