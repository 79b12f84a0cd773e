"""Properties without a clock: a machine that is busy with something else must not turn a test red."""

from hypothesis import HealthCheck, settings

unhurried = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
