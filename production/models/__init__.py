"""Tables of production, one module a subject."""

from production.models.batches import (
    Batch,
    BatchInput,
    BatchOutput,
    Instrument,
    InstrumentCheck,
    JarWeighing,
    KitchenDay,
    Reading,
    SealCheck,
    StepRecord,
)
from production.models.books import Expense, Overhead
from production.models.complaints import (
    Complaint,
    EffectivenessCheck,
    MockRecall,
    Recall,
    StopSale,
)
from production.models.plans import DemandOverride, Plan, PlanWish
from production.models.recipes import (
    Filling,
    Recipe,
    RecipeLine,
    RecipeStep,
    RecipeVersion,
)

__all__ = [
    "Batch",
    "BatchInput",
    "BatchOutput",
    "Complaint",
    "DemandOverride",
    "EffectivenessCheck",
    "Expense",
    "Filling",
    "Instrument",
    "InstrumentCheck",
    "JarWeighing",
    "KitchenDay",
    "MockRecall",
    "Overhead",
    "Plan",
    "PlanWish",
    "Reading",
    "Recall",
    "Recipe",
    "RecipeLine",
    "RecipeStep",
    "RecipeVersion",
    "SealCheck",
    "StepRecord",
    "StopSale",
]
