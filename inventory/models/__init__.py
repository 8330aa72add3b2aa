"""Tables of the inventory, one module a subject."""

from inventory.models.business import Business, ValuationYear
from inventory.models.materials import (
    Material,
    Pack,
    SeasonWindow,
    Supplier,
    TrimWeighing,
)
from inventory.models.outlets import (
    ConsignmentLine,
    ConsignmentVisit,
    MarketDay,
    MarketLine,
    Outlet,
    OutletKind,
    SoldOutMark,
)
from inventory.models.papers import Paper
from inventory.models.products import JarSize, Product, ProductPrice
from inventory.models.stock import Lot, Movement, Purchase, StockCount

__all__ = [
    "Business",
    "ConsignmentLine",
    "ConsignmentVisit",
    "JarSize",
    "Lot",
    "MarketDay",
    "MarketLine",
    "Material",
    "Movement",
    "Outlet",
    "OutletKind",
    "Pack",
    "Paper",
    "Product",
    "ProductPrice",
    "Purchase",
    "SeasonWindow",
    "SoldOutMark",
    "StockCount",
    "Supplier",
    "TrimWeighing",
    "ValuationYear",
]
