"""Pages at the welding bench, one file a page."""

from housings.pages.weld.clock import clock, lines
from housings.pages.weld.fire_watch import fire_watch
from housings.pages.weld.housing_welds import housing_welds
from housings.pages.weld.joint import joint

__all__ = ["clock", "fire_watch", "housing_welds", "joint", "lines"]
