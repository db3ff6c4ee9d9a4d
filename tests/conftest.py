"""What all tests share."""

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("steady")
