"""Studies of how well drawings are compared: `make study` prints them, `fit` the constants."""
