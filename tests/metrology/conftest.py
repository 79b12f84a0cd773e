"""Settings of the generated tests: no time limits (machines differ), many examples, the same every run."""

from hypothesis import settings

settings.register_profile("metrology", deadline=None, max_examples=100, derandomize=True)
# For runs over many changed copies of the package: --hypothesis-profile=few
settings.register_profile("few", deadline=None, max_examples=12, derandomize=True)
settings.load_profile("metrology")
