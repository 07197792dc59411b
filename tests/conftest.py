"""What holds for all tests."""

from hypothesis import settings

# How long an example takes says more of the machine than of the program; speed is told by the benchmarks.
settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")
