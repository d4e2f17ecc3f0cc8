"""What holds for all tests: no property test fails because a machine is busy."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("patient", deadline=None)
settings.load_profile("patient")
