"""Tables of labels, one module a subject."""

from labels.models.places import PlaceProfile
from labels.models.printing import LabelSheet, LabelTally, PrintRun, ProductLabel

__all__ = ["LabelSheet", "LabelTally", "PlaceProfile", "PrintRun", "ProductLabel"]
