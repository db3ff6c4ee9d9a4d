"""Rules on what is offered and said on the wire."""
