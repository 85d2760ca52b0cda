"""The clay room. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    clay_room                                           ok   ok    ok    ok   no   no   no   in
GET    allowances                                          ok   ok    ok    ok   no   no   no   in
GET    brief_allowance       brief                         ok   ok    ok    no   no   no   no   in
POST   brief_allowance       brief                         ok   ok    ok    no   no   no   no   in
GET    delivery                                            ok   ok    ok    ok   no   no   no   in
POST   delivery                                            ok   ok    ok    ok   no   no   no   in
GET    issue                                               ok   ok    ok    ok   no   no   no   in
POST   issue                                               ok   ok    ok    ok   no   no   no   in
GET    clay_return                                         ok   ok    ok    ok   no   no   no   in
POST   clay_return                                         ok   ok    ok    ok   no   no   no   in
GET    issue_list            assignment                    ok   ok    --    ok   no   no   no   in
POST   issue_list            assignment                    ok   ok    --    ok   no   no   no   in
GET    issue_list_pdf        assignment                    ok   ok    --    ok   no   no   no   in
GET    lot                   lot                           ok   ok    ok    ok   no   no   no   in
GET    lot                   returned_lot                  ok   ok    ok    ok   no   no   no   in
GET    reclaim               returned_lot                  ok   ok    ok    ok   no   no   no   in
POST   reclaim               returned_lot                  ok   ok    ok    ok   no   no   no   in
GET    write_off             lot                           ok   ok    ok    ok   no   no   no   in
POST   write_off             lot                           ok   ok    ok    ok   no   no   no   in
GET    ledger                                              ok   ok    ok    ok   no   no   no   in
GET    correct               clay_entry                    ok   ok    --    ok   no   no   no   in
POST   correct               clay_entry                    ok   ok    --    ok   no   no   no   in
GET    talks                 class                         ok   ok    --    ok   no   no   no   in
POST   talks                 class                         ok   ok    --    ok   no   no   no   in
GET    reclaims                                            ok   ok    ok    ok   no   no   no   in
GET    batch                 clay_batch                    ok   ok    ok    ok   no   no   no   in
POST   batch                 clay_batch                    ok   ok    ok    ok   no   no   no   in
GET    clay_orders                                         ok   ok    ok    ok   no   no   no   in
GET    clay_order_new                                      ok   ok    ok    ok   no   no   no   in
POST   clay_order_new                                      ok   ok    ok    ok   no   no   no   in
GET    clay_order_came       clay_order                    ok   ok    ok    ok   no   no   no   in
POST   clay_order_came       clay_order                    ok   ok    ok    ok   no   no   no   in
POST   clay_order_call_off   clay_order                    ok   ok    ok    ok   no   no   no   in
GET    clay_pack             body                          ok   ok    ok    ok   no   no   no   in
POST   clay_pack             body                          ok   ok    ok    ok   no   no   no   in
GET    scales                                              ok   ok    ok    ok   no   no   no   in
POST   scales                                              ok   ok    ok    ok   no   no   no   in
POST   scales_undo           clay_entry                    --   ok    --    --   no   no   no   in
POST   talk_rule                                           ok   no    no    no   no   no   no   in
GET    api_lots                                            ok   ok    ok    ok   no   no   no   in
GET    api_clay_entries                                    ok   ok    ok    ok   no   no   no   in
POST   api_clay_deliveries                                 ok   ok    ok    ok   no   no   no   in
POST   api_clay_issues                                     ok   ok    ok    ok   no   no   no   in
POST   api_assignment_clay_issues assignment               ok   ok    --    ok   no   no   no   in
POST   api_clay_returns                                    ok   ok    ok    ok   no   no   no   in
POST   api_clay_reclaims                                   ok   ok    ok    ok   no   no   no   in
POST   api_clay_write_offs                                 ok   ok    ok    ok   no   no   no   in
POST   api_clay_corrections                                ok   ok    ok    ok   no   no   no   in
GET    api_clay_orders                                     ok   ok    ok    ok   no   no   no   in
POST   api_clay_orders                                     ok   ok    ok    ok   no   no   no   in
POST   api_clay_order_arrival clay_order                   ok   ok    ok    ok   no   no   no   in
POST   api_clay_order_call_off clay_order                  ok   ok    ok    ok   no   no   no   in
GET    api_clay_batches                                    ok   ok    ok    ok   no   no   no   in
POST   api_clay_batches                                    ok   ok    ok    ok   no   no   no   in
POST   api_clay_batch_end    clay_batch                    ok   ok    ok    ok   no   no   no   in
GET    api_safety_talks                                    ok   ok    ok    ok   no   no   no   in
POST   api_safety_talks                                    ok   ok    ok    ok   no   no   no   in
"""
