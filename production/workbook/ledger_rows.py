"""Loads lots and ledger rows: only new rows, in the order they happened.

A row that stands in the book is known by what it says and is passed over; what
would take a lot below nothing is noted on its row before anything is written.
"""

import datetime
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import count
from typing import Any

from django.db import models
from django.utils import timezone

from inventory.models import Lot, Material, Movement, Purchase
from inventory.quantities import QuantityError
from inventory.words import say
from production.models import Batch, BatchInput, BatchOutput, SealCheck
from production.workbook.plain_rows import quantity_words
from production.workbook.reading import Line
from production.workbook.shelf import FaultyRowError, Shelf, loose

__all__ = ["LedgerLoader"]

CHUNK = 1000
NOON = datetime.time(12)
QUANTITY = Decimal("0.001")
Reason = Movement.Reason


@dataclass(slots=True, kw_only=True)
class Entry:
    """One ledger row to be, with the line it came from."""

    line: Line
    movement: Movement
    order: tuple[Any, ...]
    corrects: int | None = None
    number: int | None = None


class LedgerLoader:
    """Collects the rows of all ledger sheets, then writes them in one go."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self.entries: list[Entry] = []
        self.inputs: list[tuple[Line, Movement, Batch, Any]] = []
        self.by_number: dict[int, Movement] = {}
        self._days: dict[datetime.date, count[int]] = {}
        self._purchases = self._known_purchases()
        self._amounts: dict[tuple[int, str], Decimal] = {}
        self._unnamed = self._count_unnamed()

    # What each sheet's lines become ------------------------------------------

    def purchases(self, lines: Iterable[Line]) -> None:
        """Lots bought: a purchase, its lot and the row that received it."""
        fresh: list[tuple[Line, Lot, dict[str, Any]]] = []
        seen: dict[str, int] = {}
        for line in lines:
            values = self._filled(line)
            if values is None or self._is_known_lot(line, values, seen):
                continue
            fresh.append((line, self._bought_lot(values), values))
        self._save_lots(fresh)
        for line, lot, values in fresh:
            reason = values.get("reason") or Reason.RECEIVED
            self._enter(line, lot, values["quantity"], reason, values)

    def parts(self, lines: Iterable[Line]) -> None:
        """Lots taken from lots: two rows each, out of one and into the other."""
        fresh = []
        seen: dict[str, int] = {}
        for line in lines:
            values = self._filled(line)
            if values is None or self._is_known_lot(line, values, seen):
                continue
            source = self._lot(line, "split_from")
            if source is None:
                continue
            lot = Lot(
                code=values["code"],
                material=source.material,
                product=source.product,
                purchase=source.purchase,
                split_from=source,
                **_kept(values, "received_on", "cost", "best_by", "is_frozen"),
                **_kept(values, "stopped_at", "note"),
            )
            self._save_lots([(line, lot, values)])
            fresh.append((line, lot, values))
        for line, lot, values in fresh:
            self._enter(line, lot, values["quantity"], Reason.SPLIT, values)

    def batch_lots(self, lines: Iterable[Line]) -> None:
        """What batches made and drew."""
        lines = list(lines)
        for line in lines:
            if line.of("direction") == "out":
                self._made(line)
        for line in lines:
            if line.of("direction") == "in":
                self._drawn(line)

    def movements(self, lines: Iterable[Line]) -> None:
        """Further rows of the ledger, known ones passed over."""
        known = self._contents()
        for line in lines:
            values = self._filled(line)
            if values is None:
                continue
            lot = self._lot(line, "lot")
            if lot is None:
                continue
            movement = self._movement(line, lot, values)
            content = _content(movement)
            if known[content] > 0:
                known[content] -= 1
                self._is_same(line, movement, values)
                continue
            self._add(line, movement, values)

    # Writing ------------------------------------------------------------------

    def write(self) -> None:
        """Check the balances, then write every row in the order it happened."""
        self.entries.sort(key=lambda entry: entry.order)
        self._check_balances()
        if self.shelf.findings and any(
            each.level == "error" for each in self.shelf.findings
        ):
            return
        chunk: list[Entry] = []
        for entry in self.entries:
            if entry.corrects is not None or len(chunk) >= CHUNK:
                self._flush(chunk)
                chunk = []
            chunk.append(entry)
            if entry.corrects is not None:
                self._point_back(entry)
        self._flush(chunk)
        BatchInput.objects.bulk_create(
            [
                BatchInput(batch=batch, movement=movement, line=recipe_line)
                for _, movement, batch, recipe_line in self.inputs
            ],
            batch_size=CHUNK,
        )

    def _flush(self, chunk: list[Entry]) -> None:
        Movement.objects.bulk_create([entry.movement for entry in chunk])
        for entry in chunk:
            if entry.number is not None:
                self.by_number[entry.number] = entry.movement

    def _point_back(self, entry: Entry) -> None:
        first = self.by_number.get(entry.corrects or 0)
        column = entry.line.sheet.column_of("corrects")
        if first is None or first.lot_id != entry.movement.lot_id:
            self.shelf.wrong(
                entry.line,
                column,
                entry.corrects,
                wrong=say("is no row of this lot in the file"),
                right=say("give the no. of the row it corrects, and keep that row"),
            )
            return
        entry.movement.corrects = first

    def _check_balances(self) -> None:
        lots = {entry.movement.lot_id for entry in self.entries}
        left: Counter[tuple[int, int | None]] = Counter()
        for chunk in _chunks(sorted(lots)):
            rows = (
                Movement.objects.filter(lot_id__in=chunk)
                .values("lot", "place")
                .annotate(total=models.Sum("quantity"))
            )
            for row in rows:
                total = Decimal(row["total"]).quantize(QUANTITY)
                left[row["lot"], row["place"]] += total  # type: ignore[assignment]
        for entry in self.entries:
            movement = entry.movement
            key = (movement.lot_id, movement.place_id)
            left[key] += movement.quantity  # type: ignore[assignment]
            if left[key] < 0:
                self._below_nothing(entry, Decimal(left[key]))
                left[key] = 0

    def _below_nothing(self, entry: Entry, left: Decimal) -> None:
        movement = entry.movement
        there = left - movement.quantity
        place = (
            say("at {place}", place=movement.place)
            if movement.place
            else say("at home")
        )
        self.shelf.wrong(
            entry.line,
            entry.line.sheet.column_of("quantity"),
            movement.quantity,
            wrong=say("takes more of lot {lot} than is there", lot=movement.lot.code),
            right=say(
                "at most {there:f} {unit} were {place}",
                there=there.normalize(),
                unit=say(movement.lot.unit),
                place=place,
            ),
        )

    # One line -----------------------------------------------------------------

    def _filled(self, line: Line) -> dict[str, Any] | None:
        """Values of a line by field; None when the line has errors already."""
        before = len(self.shelf.findings)
        try:
            values = {} if line.is_faulty else self._values(line)
        except FaultyRowError:
            values = {}
        if not values:
            self.shelf.fault(line)
            return None
        if "cost" in values and values["cost"] < 0:
            self._refuse(
                line, "cost", values["cost"], say("is below nothing"), say("0 or more")
            )
        if len(self.shelf.findings) > before:
            return None
        return self._weighed(line, values)

    def _values(self, line: Line) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for column in line.sheet.columns:
            value = line.values.get(column.heading)
            if column.refers and column.refers != "lots":
                values[column.field] = self.shelf.find(line, column.field)
            elif isinstance(value, datetime.datetime):
                values[column.field] = timezone.make_aware(value)
            elif value is not None:
                values[column.field] = value
        return values

    def _weighed(self, line: Line, values: dict[str, Any]) -> dict[str, Any] | None:
        material = values.get("material")
        if "quantity" not in values and material is not None:
            try:
                values["quantity"] = self._amount(material, values["as_typed"])
            except QuantityError as error:
                wrong, right = quantity_words(error)
                self._refuse(line, "as_typed", values["as_typed"], wrong, right)
                return None
        values["quantity"] = Decimal(values["quantity"]).quantize(QUANTITY)
        is_signed = line.sheet.key in {"jar_movements", "pantry_movements"}
        if values["quantity"] == 0 or (values["quantity"] < 0 and not is_signed):
            self._refuse(line, "quantity", values["quantity"], say("is not more than nothing"), say("an amount above 0"))  # fmt: skip
            return None
        return values

    def _refuse(
        self, line: Line, field: str, value: Any, wrong: str, right: str
    ) -> None:
        self.shelf.wrong(
            line, line.sheet.column_of(field), value, wrong=wrong, right=right
        )

    def _lot(self, line: Line, field: str) -> Lot | None:
        code = line.of(field)
        found = self.shelf.rows("lots").get((loose(str(code)),))
        if found is None and code is not None:
            self._refuse(line, field, code, say("is no lot of the book or of this file"), say("write its code as in Purchases or Batch lots"))  # fmt: skip
        return found

    # Lots ---------------------------------------------------------------------

    def _bought_lot(self, values: dict[str, Any]) -> Lot:
        opening = values.get("reason") == Reason.OPENING
        best_by = values.get("best_by")
        days = values["material"].fresh_days
        if best_by is None and days and "at" not in values:
            best_by = values["received_on"] + datetime.timedelta(days=days)
        return Lot(
            code=values.get("code", ""),
            material=values["material"],
            purchase=None if opening else self._purchase(values),
            best_by=best_by,
            **_kept(values, "received_on", "cost", "as_typed", "supplier_mark"),
            **_kept(values, "origin", "stopped_at", "note"),
        )

    @staticmethod
    def _known_purchases() -> dict[tuple[Any, ...], Purchase]:
        rows = Purchase.objects.order_by("-pk").iterator(chunk_size=CHUNK)
        return {(row.supplier_id, row.bought_on, row.reference): row for row in rows}

    def _amount(self, material: Material, text: str) -> Decimal:
        """A cook's quantity of a material; the same words are read once."""
        key = (material.pk, text)
        if key not in self._amounts:
            self._amounts[key] = material.read_amount(text)
        return self._amounts[key]

    def _purchase(self, values: dict[str, Any]) -> Purchase:
        reference = values.get("reference", "")
        key = (values["supplier"].pk, values["received_on"], reference)
        if key not in self._purchases:
            self._purchases[key] = Purchase.objects.create(
                supplier=values["supplier"],
                bought_on=values["received_on"],
                reference=reference,
            )
        return self._purchases[key]

    def _save_lots(self, fresh: list[tuple[Line, Lot, dict[str, Any]]]) -> None:
        for _, lot, _ in fresh:
            if not lot.code:
                lot.code = self._next_code(lot.received_on)
        Lot.objects.bulk_create([lot for _, lot, _ in fresh], batch_size=CHUNK)
        for line, lot, _ in fresh:
            self.shelf.put("lots", lot)
            self.shelf.tally(line.sheet.key).created += 1

    def _next_code(self, on: datetime.date) -> str:
        numbers = self._days.setdefault(on, count(1))
        known = self.shelf.rows("lots")
        for number in numbers:
            code = f"{on:%y%j}-{number}"
            if (loose(code),) not in known:
                return code
        raise AssertionError("counting never ends")

    def _count_unnamed(self) -> Counter[tuple[Any, ...]]:
        rows = Lot.objects.filter(purchase__isnull=False).values_list(
            "purchase__supplier", "received_on", "purchase__reference",
            "material", "as_typed", "cost",
        )  # fmt: skip
        return Counter((*row[:5], _money(row[5])) for row in rows.iterator())

    def _is_known_lot(
        self, line: Line, values: dict[str, Any], seen: dict[str, int]
    ) -> bool:
        code = values.get("code")
        if code is None:
            return self._is_known_unnamed(line, values)
        if code in seen:
            self._refuse(line, "code", code, say("is the code of row {seen} too", seen=seen[code]), say("give each lot a code of its own, or leave it empty"))  # fmt: skip
            return True
        seen[code] = line.row
        known = self.shelf.rows("lots").get((loose(code),))
        if known is None:
            return False
        if self._differs(known, values):
            self._refuse(line, "code", code, say("stands in the book with other figures"), say("use another code, or correct the lot on its own page"))  # fmt: skip
            return True
        self.shelf.tally(line.sheet.key).same += 1
        if "number" in values:
            first = known.movements.filter(corrects__isnull=True).first()
            if first is not None:
                self.by_number[values["number"]] = first
        return True

    def _is_known_unnamed(self, line: Line, values: dict[str, Any]) -> bool:
        key = (
            values["supplier"].pk,
            values["received_on"],
            values.get("reference", ""),
            values["material"].pk,
            values["as_typed"],
            _money(values["cost"]),
        )
        if self._unnamed[key] > 0:
            self._unnamed[key] -= 1
            self.shelf.tally(line.sheet.key).same += 1
            return True
        return False

    @staticmethod
    def _differs(lot: Lot, values: dict[str, Any]) -> bool:
        material = values.get("material")
        product = values.get("product")
        return (
            (material is not None and material.pk != lot.material_id)
            or (product is not None and product.pk != lot.product_id)
            or ("cost" in values and _money(values["cost"]) != _money(lot.cost))
            or values.get("received_on", lot.received_on) != lot.received_on
        )

    # Batches ------------------------------------------------------------------

    def _made(self, line: Line) -> None:
        values = self._filled(line)
        if values is None:
            return
        batch, code = values["batch"], str(values["lot"])
        known = self.shelf.rows("lots").get((loose(code),))
        if known is not None:
            self._known_output(line, known, batch, values)
            return
        product, material = values.get("product"), values.get("material")
        if (product is None) == (material is None):
            self._refuse(line, "product", None, say("is not said, or a material is said too"), say("name the product of the jars, or the material made"))  # fmt: skip
            return
        lot = Lot(
            code=code,
            product=product,
            material=material,
            received_on=values.get("on") or batch.made_on or batch.planned_on,
            **_kept(values, "cost", "best_by", "is_frozen", "stopped_at"),
            **_kept(values, "is_tax_exempt"),
        )
        self._save_lots([(line, lot, values)])
        output = BatchOutput.objects.create(
            batch=batch,
            lot=lot,
            jar_size=product.jar_size if product else None,
            filled=values["quantity"],
        )
        self._add_seals(output, values)
        values.setdefault("cause", f"batch {batch.code}")
        self._enter(line, lot, values["quantity"], Reason.MADE, values)

    def _known_output(
        self, line: Line, lot: Lot, batch: Batch, values: dict[str, Any]
    ) -> None:
        output = BatchOutput.objects.filter(lot=lot, batch=batch).first()
        if output is None or output.filled != values["quantity"]:
            self._refuse(line, "lot", lot.code, say("stands in the book otherwise"), say("correct it on the batch's own page"))  # fmt: skip
            return
        self.shelf.tally(line.sheet.key).same += 1
        first = lot.movements.filter(reason=Reason.MADE, corrects=None).first()
        if first is not None and "number" in values:
            self.by_number[values["number"]] = first

    @staticmethod
    def _add_seals(output: BatchOutput, values: dict[str, Any]) -> None:
        if "sealed" not in values or "checked_at" not in values:
            return
        SealCheck.objects.create(
            output=output,
            checked_at=values["checked_at"],
            sealed=values["sealed"],
            failed=values.get("failed", 0),
            fate=values.get("fate", ""),
        )

    def _drawn(self, line: Line) -> None:
        values = self._filled(line)
        if values is None:
            return
        lot = self._lot(line, "lot")
        if lot is None:
            return
        batch = values["batch"]
        position = values.get("line")
        recipe_line = None
        if position is not None:
            recipe_line = batch.version.lines.filter(position=position).first()
            if recipe_line is None:
                self._refuse(line, "line", position, say("is no line of the recipe"), say("its position in Recipe lines"))  # fmt: skip
                return
        if self._is_known_draw(batch, lot, values, recipe_line):
            self.shelf.tally(line.sheet.key).same += 1
            return
        values.setdefault("cause", f"batch {batch.code}")
        values.setdefault("on", batch.made_on or batch.planned_on)
        movement = self._entry_movement(lot, -values["quantity"], Reason.DRAWN, values)
        self._add(line, movement, values)
        self.inputs.append((line, movement, batch, recipe_line))

    @staticmethod
    def _is_known_draw(
        batch: Batch, lot: Lot, values: dict[str, Any], recipe_line: Any
    ) -> bool:
        return BatchInput.objects.filter(
            batch=batch,
            movement__lot=lot,
            movement__quantity=-values["quantity"],
            line=recipe_line,
        ).exists()

    # Rows ---------------------------------------------------------------------

    def _enter(
        self,
        line: Line,
        lot: Lot,
        quantity: Decimal,
        reason: str,
        values: dict[str, Any],
    ) -> None:
        values.setdefault("on", values.get("received_on"))
        self._push(line, self._entry_movement(lot, quantity, reason, values), values)

    @staticmethod
    def _entry_movement(
        lot: Lot, quantity: Decimal, reason: str, values: dict[str, Any]
    ) -> Movement:
        on = values.get("on") or lot.received_on
        at = values.get("at") or timezone.make_aware(
            datetime.datetime.combine(on, NOON)
        )
        return Movement(
            lot=lot,
            quantity=quantity,
            reason=reason,
            on=on,
            at=at,
            **_kept(values, "cause"),
        )

    def _movement(self, line: Line, lot: Lot, values: dict[str, Any]) -> Movement:
        movement = self._entry_movement(
            lot, values["quantity"], values["reason"], values
        )
        movement.place = values.get("place")
        outlet = values.get("of_outlet") or movement.place
        for name, key in (("market_day", "market_days"), ("visit", "visits")):
            if name in values and outlet is not None:
                found = self.shelf.rows(key).get((loose(outlet.name), values[name]))
                if found is None:
                    self._refuse(line, name, values[name], say("is no day of {outlet} in the book", outlet=outlet), say("add it first"))  # fmt: skip
                setattr(movement, name, found)
        movement.note = values.get("note", "")
        movement.unit_price = values.get("unit_price")
        movement.sales_tax = values.get("sales_tax", Decimal(0))
        if values["reason"] == Reason.DRAWN and lot.product_id is None:
            self._refuse(line, "reason", "drawn", say("belongs to a batch"), say("write it in Batch lots"))  # fmt: skip
        return movement

    def _add(self, line: Line, movement: Movement, values: dict[str, Any]) -> None:
        self.shelf.tally(line.sheet.key).created += 1
        self._push(line, movement, values)

    def _push(self, line: Line, movement: Movement, values: dict[str, Any]) -> None:
        number = values.get("number")
        rank = 0 if movement.quantity > 0 else 1
        order = (
            (0, number, 0, 0)
            if number is not None
            else (1, movement.at, rank, line.row)
        )
        self.entries.append(
            Entry(
                line=line,
                movement=movement,
                order=(order[0], *map(_sortable, order[1:])),
                corrects=values.get("corrects"),
                number=number,
            )
        )

    def _is_same(self, line: Line, movement: Movement, values: dict[str, Any]) -> None:
        self.shelf.tally(line.sheet.key).same += 1
        if "number" not in values:
            return
        known = Movement.objects.filter(
            lot=movement.lot,
            quantity=movement.quantity,
            reason=movement.reason,
            at=movement.at,
            place=movement.place,
        ).first()
        if known is not None:
            self.by_number[values["number"]] = known

    @staticmethod
    def _contents() -> Counter[tuple[Any, ...]]:
        rows = Movement.objects.values_list(
            "lot_id", "quantity", "reason", "on", "at", "place_id", "market_day_id",
            "visit_id",
        )  # fmt: skip
        return Counter(_key(*row) for row in rows.iterator(chunk_size=5000))


def _sortable(value: Any) -> float:
    return value.timestamp() if isinstance(value, datetime.datetime) else float(value)


def _content(movement: Movement) -> tuple[Any, ...]:
    return _key(
        movement.lot_id,
        movement.quantity,
        movement.reason,
        movement.on,
        movement.at,
        movement.place_id,
        movement.market_day_id,
        movement.visit_id,
    )


def _key(lot: int, quantity: Decimal, *rest: Any) -> tuple[Any, ...]:
    return (lot, Decimal(quantity).quantize(QUANTITY), *rest)


def _money(value: Decimal | int) -> Decimal:
    return Decimal(value).quantize(Decimal("0.0001"))


def _kept(values: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: values[name] for name in names if values.get(name) is not None}


def _chunks(numbers: list[int]) -> Iterator[list[int]]:
    for start in range(0, len(numbers), CHUNK):
        yield numbers[start : start + CHUNK]
