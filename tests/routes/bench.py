"""A pot at the bench. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    bench                 bench_pot                     ok   ok    --    ok   ok   --   no   in
GET    bench                 pot                           ok   ok    --    ok   ok   --   no   in
GET    bench                 lost_pot                      ok   ok    --    ok   ok   --   no   in
GET    bench                 glazed_pot                    ok   ok    --    ok   ok   --   no   in
POST   bench_row             bench_pot                     ok   ok    --    ok   ok   --   no   in
POST   bench_height          bench_pot                     ok   ok    --    ok   ok   --   no   in
GET    build_check_new       bench_pot                     ok   ok    --    ok   ok   --   no   in
POST   build_check_new       bench_pot                     ok   ok    --    ok   ok   --   no   in
GET    build_check           build_check                   ok   ok    --    ok   ok   --   no   in
POST   build_check_strike    build_check                   ok   ok    --    ok   ok   --   no   in
POST   carry_on_ask          build_check                   ok   ok    --    ok   ok   --   no   in
GET    carry_on              carry_on                      ok   ok    --    ok   ok   --   no   in
POST   carry_on_answer       carry_on                      ok   ok    --    no   no   no   no   in
POST   carry_on_take_back    carry_on                      no   no    --    no   ok   --   no   in
GET    api_pot_rows          bench_pot                     ok   ok    --    ok   ok   --   --   in
PUT    api_pot_rows          bench_pot                     ok   ok    --    ok   ok   --   --   in
POST   api_pot_wall          bench_pot                     ok   ok    --    ok   ok   --   --   in
GET    api_build_checks      bench_pot                     ok   ok    --    ok   ok   --   --   in
POST   api_build_checks      bench_pot                     ok   ok    --    ok   ok   --   --   in
POST   api_build_check_strike build_check                  ok   ok    --    ok   ok   --   --   in
GET    api_carry_ons         bench_pot                     ok   ok    --    ok   ok   --   --   in
POST   api_build_check_carry_on build_check                ok   ok    --    ok   ok   --   --   in
POST   api_carry_on_agree    carry_on                      ok   ok    --    no   no   no   no   in
POST   api_carry_on_decline  carry_on                      ok   ok    --    no   no   no   no   in
POST   api_carry_on_take_back carry_on                     no   no    --    no   ok   --   --   in
"""
