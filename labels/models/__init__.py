"""Tables of labels, one module a subject."""

from labels.models.places import PlaceProfile
from labels.models.printing import LabelSheet, PrintRun, ProductLabel

__all__ = ["LabelSheet", "PlaceProfile", "PrintRun", "ProductLabel"]
