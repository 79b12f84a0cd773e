"""Pictures of what was measured: SVG drawings in ink with one tone, each with the sentence that it shows.

Nothing here knows a database or a request; words go through gettext. Lengths of one picture share one unit.
Deviations are enlarged, and each picture says by how much.
"""

from inspections.pictures.dispatch import picture_of
from inspections.pictures.drawing import Picture
from inspections.pictures.housing import Mark, housing_picture, place_of

__all__ = ["Mark", "Picture", "housing_picture", "picture_of", "place_of"]
