"""Plain factories with fixed values; each makes one thing and what it needs."""

import datetime
from decimal import Decimal
from itertools import count
from typing import Any

from django.contrib.auth.models import User

from inventory import roles
from inventory.models import (
    Business,
    JarSize,
    Lot,
    MarketDay,
    Material,
    Movement,
    Outlet,
    Pack,
    Product,
    ProductPrice,
    Purchase,
    Supplier,
)
from production.models import Filling, Recipe, RecipeLine, RecipeStep, RecipeVersion

TODAY = datetime.date(2026, 6, 10)
NOW = datetime.datetime(2026, 6, 10, 9, 0, tzinfo=datetime.UTC)
_number = count(1)


def make_owner(**overrides: Any) -> User:
    name = overrides.pop("username", f"owner{next(_number)}")
    return User.objects.create_user(username=name, password="jam", **overrides)


def make_helper(**overrides: Any) -> User:
    name = overrides.pop("username", f"helper{next(_number)}")
    return roles.make_helper(
        User.objects.create_user(username=name, password="jam", **overrides)
    )


def make_business(**overrides: Any) -> Business:
    values: dict[str, Any] = {
        "pk": 1,
        "trade_name": "Test Kitchen",
        "owner_name": "A. Tester",
        "street": "1 Test Lane",
        "city": "Testville",
        "region": "MN",
        "postal_code": "00000",
        "place_code": "us-mn",
        "altitude_m": Decimal("378.0"),
    }
    business, _ = Business.objects.update_or_create(
        pk=1, defaults={**values, **overrides}
    )
    return business


def make_supplier(**overrides: Any) -> Supplier:
    return Supplier.objects.create(**{"name": f"Supplier {next(_number)}", **overrides})


def make_material(**overrides: Any) -> Material:
    values: dict[str, Any] = {
        "name": f"Material {next(_number)}",
        "kind": Material.Kind.INGREDIENT,
        "solids_fraction": Decimal(1),
    }
    return Material.objects.create(**{**values, **overrides})


def make_fruit(**overrides: Any) -> Material:
    values: dict[str, Any] = {
        "name": f"Fruit {next(_number)}",
        "kind": Material.Kind.FRUIT,
        "solids_fraction": Decimal("0.08"),
        "edible_yield": Decimal("0.92"),
        "fresh_days": 3,
        "freezable": True,
        "frozen_days": 300,
    }
    return Material.objects.create(**{**values, **overrides})


def make_packaging(**overrides: Any) -> Material:
    values: dict[str, Any] = {
        "name": f"Packaging {next(_number)}",
        "kind": Material.Kind.PACKAGING,
    }
    return Material.objects.create(**{**values, **overrides})


def make_pack(material: Material, **overrides: Any) -> Pack:
    values: dict[str, Any] = {
        "as_typed": "1 kg",
        "quantity": Decimal(1000),
        "price": Decimal("2.00"),
        "priced_on": TODAY,
    }
    if "supplier" not in overrides:
        values["supplier"] = make_supplier()
    return Pack.objects.create(material=material, **{**values, **overrides})


def make_jar_size(**overrides: Any) -> JarSize:
    values: dict[str, Any] = {
        "name": f"half-pint {next(_number)}",
        "brim_ml": Decimal("250.0"),
        "neck_area_cm2": Decimal("28.00"),
        "diameter_mm": Decimal("70.0"),
        "height_mm": Decimal("95.0"),
        "label_height_mm": Decimal("55.0"),
        "lid_diameter_mm": Decimal("70.0"),
    }
    return JarSize.objects.create(**{**values, **overrides})


def make_product(**overrides: Any) -> Product:
    number = next(_number)
    values: dict[str, Any] = {"code": f"product-{number}", "name": f"Jam {number}"}
    if "jar_size" not in overrides:
        values["jar_size"] = make_jar_size()
    return Product.objects.create(**{**values, **overrides})


def make_price(product: Product, **overrides: Any) -> ProductPrice:
    values: dict[str, Any] = {
        "outlet_kind": "market",
        "price": Decimal("9.00"),
        "valid_from": datetime.date(2025, 1, 1),
    }
    return ProductPrice.objects.create(product=product, **{**values, **overrides})


def make_outlet(**overrides: Any) -> Outlet:
    values: dict[str, Any] = {
        "name": f"Market {next(_number)}",
        "kind": "market",
        "weekday": 5,
    }
    return Outlet.objects.create(**{**values, **overrides})


def make_market_day(**overrides: Any) -> MarketDay:
    values: dict[str, Any] = {"on": TODAY}
    if "outlet" not in overrides:
        values["outlet"] = make_outlet()
    return MarketDay.objects.create(**{**values, **overrides})


def make_purchase(**overrides: Any) -> Purchase:
    values: dict[str, Any] = {"bought_on": TODAY}
    if "supplier" not in overrides:
        values["supplier"] = make_supplier()
    return Purchase.objects.create(**{**values, **overrides})


def make_lot(*, quantity: Decimal | int = 1000, **overrides: Any) -> Lot:
    """A lot with its first ledger row; ``quantity`` 0 leaves the row out."""
    values: dict[str, Any] = {
        "code": f"T{next(_number):05}",
        "received_on": TODAY,
        "cost": Decimal("10.00"),
    }
    if "material" not in overrides and "product" not in overrides:
        values["material"] = make_material()
    lot = Lot.objects.create(**{**values, **overrides})
    if quantity:
        Movement.objects.create(
            lot=lot,
            quantity=Decimal(quantity),
            reason=Movement.Reason.RECEIVED,
            on=lot.received_on,
            at=NOW,
        )
    return lot


def make_recipe(**overrides: Any) -> Recipe:
    number = next(_number)
    values: dict[str, Any] = {
        "name": f"Recipe {number}",
        "slug": f"recipe-{number}",
        "kind": Recipe.Kind.JAM,
        "identity": "Test Jam",
    }
    return Recipe.objects.create(**{**values, **overrides})


def make_version(**overrides: Any) -> RecipeVersion:
    values: dict[str, Any] = {
        "number": 1,
        "written_on": datetime.date(2025, 1, 1),
        "finish_solids": Decimal("0.650"),
        "tested_source": "invented for a test",
    }
    if "recipe" not in overrides:
        values["recipe"] = make_recipe()
    return RecipeVersion.objects.create(**{**values, **overrides})


def make_line(version: RecipeVersion, **overrides: Any) -> RecipeLine:
    values: dict[str, Any] = {
        "position": version.lines.count() + 1,
        "as_typed": "1000 g",
        "grams": Decimal(1000),
    }
    if "material" not in overrides:
        values["material"] = make_material()
    return RecipeLine.objects.create(version=version, **{**values, **overrides})


def make_step(version: RecipeVersion, **overrides: Any) -> RecipeStep:
    values: dict[str, Any] = {
        "position": version.steps.count() + 1,
        "text": "Stir.",
        "hands_on_min": 20,
    }
    return RecipeStep.objects.create(version=version, **{**values, **overrides})


def make_filling(product: Product, recipe: Recipe) -> Filling:
    return Filling.objects.create(product=product, recipe=recipe)
