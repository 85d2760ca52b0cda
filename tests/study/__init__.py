"""Studies: how well drawings are compared, sheets taken apart, cones foretold, kilns filled and
weeks of them planned. `make study` prints them, `fit` the constants of comparing."""
