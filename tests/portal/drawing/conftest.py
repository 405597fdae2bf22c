"""A machine that is busy with other tests must not fail ours: properties are checked without a stop-watch."""

from hypothesis import settings

settings.register_profile("without a stop-watch", deadline=None)
settings.load_profile("without a stop-watch")
