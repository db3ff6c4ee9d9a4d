"""From observations to statements: one file a kind of observation. Nothing here judges."""
