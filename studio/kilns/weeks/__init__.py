"""Which pots go into which firing of a week, and which firings there are at all.

Pure computation. Moments are aware datetimes, lengths millimetres, room in kilns is a share of the
whole inside. `plan.plan_week` is the entry, `starts.possible_starts` lists what a kiln's hours
allow, `further.further_firings` says what would take the pots that a plan leaves out. One model for
everything fails, so: trial loads learn how full this week's pots pack (`trials`), a mixed-integer
programme over groups of like pots chooses the firings (`model`), pots are dealt to them, each whole
firing is packed at once, and what didn't fit comes back as less room (`plan`).
"""
