"""A small business with one evening, one market and a past, for the week pages."""

import datetime
from decimal import Decimal

from inventory.models import MarketDay, MarketLine, Material
from production.models import KitchenDay, RecipeVersion
from production.selectors.week_today import current_plan
from tests import factories

TODAY = datetime.date(2026, 6, 10)
SATURDAY = datetime.date(2026, 6, 13)
NOW = datetime.datetime(2026, 6, 10, 9, 0, tzinfo=datetime.UTC)


class Week:
    """Plum jam sells about five jars a Saturday; the kitchen is free tonight."""

    def __init__(self, *, sold=(5, 6, 4, 5), minutes=240, jars=6):
        factories.make_business(canner_heating_min=25)
        self.fruit = factories.make_fruit(name="Plums")
        self.farm = factories.make_supplier(name="Hill Farm")
        factories.make_pack(self.fruit, supplier=self.farm, as_typed="2 kg",
                            quantity=Decimal(2000), price=Decimal("6.00"))  # fmt: skip
        self.version = self._recipe(jars)
        self.product = self._product()
        factories.make_price(self.product, price=Decimal("9.00"))
        self.market = factories.make_outlet(
            name="Green market",
            opens_at=datetime.time(8),
            closes_at=datetime.time(13),
            table_jars=40,
        )
        factories.make_market_day(outlet=self.market, on=SATURDAY)
        KitchenDay.objects.create(
            weekday=TODAY.weekday(), starts_at=datetime.time(17), minutes=minutes
        )
        for week, number in enumerate(sold, start=1):
            self.past(SATURDAY - datetime.timedelta(weeks=week), number)

    def _recipe(self, jars) -> RecipeVersion:
        version = factories.make_version(
            finish="none",
            finish_solids=None,
            process_min=10,
            published_jars=Decimal(jars),
        )
        factories.make_line(version, material=self.fruit)
        factories.make_step(version, kind="prepare", hands_on_min=20)
        factories.make_step(version, kind="cook", hands_on_min=30, needs="pot")
        factories.make_step(version, kind="fill", hands_on_min=12)
        factories.make_step(
            version, kind="process", hands_on_min=5, unattended_min=35, needs="canner"
        )
        factories.make_step(version, kind="cool", hands_on_min=8)
        return version

    def _product(self):
        size = factories.make_jar_size(
            jar=factories.make_packaging(name="Jar"), lid=factories.make_packaging()
        )
        for material in (size.jar, size.lid):
            factories.make_lot(material=material, quantity=100)
        product = factories.make_product(name="Plum jam", code="plum", jar_size=size)
        factories.make_filling(product, self.version.recipe)
        return product

    def past(self, on, sold, *, taken=12):
        """A counted market day."""
        day = factories.make_market_day(
            outlet=self.market, on=on, status=MarketDay.Status.COUNTED
        )
        lot = factories.make_lot(product=self.product, quantity=0)
        MarketLine.objects.create(
            day=day, lot=lot, taken=taken, sold=sold, brought_back=taken - sold
        )
        return day

    def shelf(self, jars):
        """Jars released and at home."""
        return factories.make_lot(product=self.product, quantity=jars, released_at=NOW)

    def plan(self):
        """The plan the pages show today."""
        return current_plan(on=TODAY)


def stop_fruit(fruit: Material) -> None:
    """The farm has none any more."""
    fruit.packs.update(is_current=False)
