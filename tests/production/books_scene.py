"""A small jam business for the tests of the books: prices, a recipe, lots, a batch."""

from decimal import Decimal

from inventory.models import Movement
from production.models import Batch, BatchInput, BatchOutput
from tests.factories import (
    NOW,
    TODAY,
    make_business,
    make_filling,
    make_fruit,
    make_jar_size,
    make_line,
    make_lot,
    make_material,
    make_packaging,
    make_product,
    make_purchase,
    make_step,
    make_version,
)

D = Decimal
Reason = Movement.Reason


def make_row(lot, quantity, reason, **more):
    values = {"on": TODAY, "at": NOW, "quantity": D(quantity), "reason": reason}
    return Movement.objects.create(lot=lot, **values | more)


class Jam:
    """A strawberry jam with prices, a recipe of 8 jars, and lots to cook from."""

    def __init__(self):
        make_business(
            labour_rate=D("15.00"),
            label_cost=D("0.05"),
            overhead_per_year=D(0),
            power_tariff=D("0.16"),
            burner_kw=D(2),
            canner_kw=D(3),
            canner_heating_min=20,
            jars_per_year=1000,
            mileage_rate=D("0.50"),
        )
        self.fruit = make_fruit(name="strawberries")
        self.sugar = make_material(name="sugar")
        self.jar = make_packaging(name="half-pint jar")
        self.lid = make_packaging(name="lid")
        size = make_jar_size(jar=self.jar, lid=self.lid, per_canner_load=9)
        self.product = make_product(name="Strawberry jam", jar_size=size)
        # Already thicker than that: no balance exists, the recipe's promise stands.
        self.version = make_version(
            published_jars=D(8), finish_solids=D("0.300"), process_min=10
        )
        make_filling(self.product, self.version.recipe)
        make_line(self.version, material=self.fruit, grams=D(1840))
        make_line(self.version, material=self.sugar, grams=D(1500))
        make_step(self.version, hands_on_min=40)
        make_step(self.version, hands_on_min=20, unattended_min=10, needs="pot")
        bought = make_purchase()
        self.fruit_lot = make_lot(
            material=self.fruit, quantity=4000, cost=D(20), purchase=bought
        )
        self.sugar_lot = make_lot(
            material=self.sugar, quantity=10000, cost=D(10), purchase=bought
        )
        self.jar_lot = make_lot(
            material=self.jar, quantity=24, cost=D(18), purchase=bought
        )
        self.lid_lot = make_lot(
            material=self.lid, quantity=100, cost=D(20), purchase=bought
        )

    def cook(self, *, fruit=2000, filled=8, code="26161AM"):
        batch = Batch.objects.create(
            code=code,
            version=self.version,
            product=self.product,
            status=Batch.Status.RELEASED,
            planned_on=TODAY,
            made_on=TODAY,
            started_at=NOW,
            finished_at=NOW,
            expected_jars=D(8),
            hands_on_min=60,
            burner_min=30,
            canner_min=30,
        )
        draws = [
            (self.fruit_lot, fruit),
            (self.sugar_lot, 1500),
            (self.jar_lot, filled),
            (self.lid_lot, filled),
        ]
        for lot, quantity in draws:
            row = make_row(lot, -quantity, Reason.DRAWN)
            BatchInput.objects.create(batch=batch, movement=row)
        self.jars = make_lot(
            product=self.product, quantity=0, released_at=NOW, cost=D(0)
        )
        make_row(self.jars, filled, Reason.MADE)
        BatchOutput.objects.create(batch=batch, lot=self.jars, filled=D(filled))
        return batch
