"""What was said: frames -> exchange (acknowledged, repeated) -> contracts and the rest of the story."""
