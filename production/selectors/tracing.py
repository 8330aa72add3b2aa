"""A trace, read from the book in a fixed number of queries whatever its depth."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from django.db.models import QuerySet, Sum, Value

from inventory.models import Lot
from inventory.words import say
from production.models import Batch, BatchInput, BatchOutput
from production.selectors.lineage import (
    downstream_by_origin,
    id_rows,
    lots_upstream,
)
from production.selectors.trace_nodes import TraceRows, build_graph
from production.selectors.whereabouts import (
    LedgerSum,
    balance_of,
    ledger_sums,
    whereabouts_of,
)
from production.trace_answer import (
    AffectedBatch,
    Sister,
    SourceLot,
    Subject,
    TraceAnswer,
    Whereabouts,
)

__all__ = ["trace_batch", "trace_lot"]


def trace_batch(batch: Batch) -> TraceAnswer:
    """Trace a batch both ways.

    Args:
        batch: started or finished; a planned one has nothing to trace.

    Returns:
        What went in, what its jars went into, which batches share a lot with it,
        and where its jars are.
    """
    made, drawn = _lots_of(batch)
    subject = Subject(
        key=f"batch:{batch.pk}",
        code=batch.code or "",
        title=str(batch.product or batch.version.recipe),
        on=batch.made_on or batch.planned_on,
        state=batch.get_status_display(),
        lot_ids=made,
        unit="jars" if batch.product_id else "g",
    )
    return _Tracer(subject=subject, drawn=drawn, batch_id=batch.pk).answer()


def _lots_of(batch: Batch) -> tuple[tuple[int, ...], frozenset[int]]:
    """Lots a batch made, and lots it drew from."""
    made = batch.outputs.annotate(is_made=Value(1)).values_list("lot_id", "is_made")
    drawn = batch.inputs.annotate(is_made=Value(0))
    both = list(made.union(drawn.values_list("movement__lot_id", "is_made"), all=True))
    return (
        tuple(sorted(lot for lot, is_made in both if is_made)),
        frozenset(lot for lot, is_made in both if not is_made),
    )


def trace_lot(lot: Lot) -> TraceAnswer:
    """Trace a lot both ways.

    Args:
        lot: of anything: fruit, sugar, lids, frozen juice, jars.

    Returns:
        What it was made of, every batch it is in, and where their jars are.
    """
    subject = Subject(
        key=f"jars:{lot.pk}" if lot.product_id else f"lot:{lot.pk}",
        code=lot.code,
        title=lot.name,
        on=lot.received_on,
        state=say("stopped") if lot.stopped_at else "",
        lot_ids=(lot.pk,),
        unit=lot.unit,
    )
    return _Tracer(subject=subject, drawn=frozenset(), batch_id=None).answer()


@dataclass(kw_only=True)
class _Tracer:
    """Reads once what every part of the answer needs."""

    subject: Subject
    drawn: frozenset[int]
    batch_id: int | None

    def answer(self) -> TraceAnswer:
        own = [row for lot in self.subject.lot_ids for row in self.ledger.get(lot, ())]
        affected = self._affected()
        return TraceAnswer(
            subject=self.subject,
            sources=self._sources(),
            affected=affected,
            sisters=self._sisters(),
            whereabouts=self._whereabouts(),
            balance=balance_of(own),
            graph=build_graph(
                TraceRows(
                    lots=self.lots,
                    batches=self.batches,
                    draws=self.draws,
                    makes=self.makes,
                    ledger=self.ledger,
                ),
                subject=self.subject.key,
            ),
        )

    @cached_property
    def back(self) -> frozenset[int]:
        """Lots upstream."""
        starts = frozenset(self.subject.lot_ids) | self.drawn
        return (lots_upstream(starts) | self.drawn) - frozenset(self.subject.lot_ids)

    @cached_property
    def below(self) -> Mapping[int, frozenset[int]]:
        """Lots downstream of the subject and of each lot upstream."""
        return downstream_by_origin([*self.subject.lot_ids, *self.back])

    @cached_property
    def forward(self) -> frozenset[int]:
        """The subject's own lots and those downstream."""
        own = frozenset(self.subject.lot_ids)
        return own.union(*(self.below[lot] for lot in own)) if own else own

    @cached_property
    def lots(self) -> Mapping[int, Lot]:
        """Every lot of the picture."""
        found = Lot.objects.filter(pk__in=id_rows(self.back | self.forward))
        return {lot.pk: lot for lot in found.select_related(*_LOT_RELATIONS).order_by()}

    @cached_property
    def every_draw(self) -> Sequence[tuple[int, int, Decimal]]:
        """Batch, lot and quantity of every draw of a lot of the picture."""
        lots = id_rows(self.back | self.forward)
        rows = (
            BatchInput.objects.filter(movement__lot_id__in=lots)
            .order_by()
            .values_list("batch_id", "movement__lot_id")
            .annotate(total=Sum("movement__quantity"))
        )
        return [(batch, lot, -total) for batch, lot, total in rows]

    @cached_property
    def draws(self) -> Sequence[tuple[int, int, Decimal]]:
        """Those draws that belong into the picture; the others lead to sisters."""
        inside = self._makers | self._own_batch
        return [
            (batch, lot, quantity)
            for batch, lot, quantity in self.every_draw
            if batch in inside or lot in self.forward
        ]

    @cached_property
    def outside(self) -> frozenset[int]:
        """Lots made of the same lots upstream that are no part of the picture."""
        below = frozenset[int]().union(*(self.below[lot] for lot in self.back))
        return below - self.forward - self.back

    @cached_property
    def maker(self) -> Mapping[int, int]:
        """The batch of every lot, of the picture and outside, that was made here."""
        lots = id_rows(self.back | self.forward | self.outside)
        rows = BatchOutput.objects.filter(lot_id__in=lots).order_by()
        return dict(rows.values_list("lot_id", "batch_id"))

    @cached_property
    def makes(self) -> Sequence[tuple[int, int]]:
        """Batch and lot of every lot of the picture that was made here."""
        inside = self.back | self.forward
        return [(batch, lot) for lot, batch in self.maker.items() if lot in inside]

    @cached_property
    def _makers(self) -> set[int]:
        return {batch for batch, _lot in self.makes}

    @cached_property
    def every_batch(self) -> Mapping[int, Batch]:
        """Batches of the picture and their sisters."""
        drew = {batch for batch, _lot, _quantity in self.every_draw}
        wanted = {*self.maker.values(), *drew, *self._own_batch}
        return {batch.pk: batch for batch in _batches(wanted)}

    @cached_property
    def batches(self) -> Mapping[int, Batch]:
        """Every batch of the picture, those still cooking among them."""
        drew = {batch for batch, _lot, _quantity in self.draws}
        wanted = self._makers | drew | self._own_batch
        return {number: self.every_batch[number] for number in wanted}

    @property
    def _own_batch(self) -> set[int]:
        return {self.batch_id} if self.batch_id else set()

    @cached_property
    def ledger(self) -> Mapping[int, Sequence[LedgerSum]]:
        """The ledger of the subject's lots and of all downstream."""
        return ledger_sums(self.forward)

    def _sources(self) -> Sequence[SourceLot]:
        own = {
            lot: quantity
            for batch, lot, quantity in self.draws
            if batch == self.batch_id
        }
        lots = sorted(
            (self.lots[lot] for lot in self.back),
            key=lambda lot: (lot.pk not in own, self.rarity[lot.pk], lot.code),
        )
        return [self._source(lot, own.get(lot.pk)) for lot in lots]

    def _source(self, lot: Lot, used: Decimal | None) -> SourceLot:
        purchase = lot.purchase
        return SourceLot(
            lot_id=lot.pk,
            code=lot.code,
            name=lot.name,
            supplier=str(purchase.supplier) if purchase else "",
            supplier_mark=lot.supplier_mark,
            received_on=lot.received_on,
            origin=lot.origin,
            used=used,
            unit=lot.unit,
            is_stopped=lot.stopped_at is not None,
            sister_batches=self.rarity[lot.pk],
        )

    @cached_property
    def sister_lots(self) -> Mapping[int, frozenset[int]]:
        """Batches outside the picture, each with the lots upstream it shares."""
        shared: dict[int, set[int]] = defaultdict(set)
        for lot in self.back:
            for made in self.below[lot] & self.outside:
                if made in self.maker:
                    shared[self.maker[made]].add(lot)
        for batch, lot, _quantity in self.every_draw:
            if batch not in self.batches:
                shared[batch].add(lot)
        return {batch: frozenset(lots) for batch, lots in shared.items()}

    @cached_property
    def rarity(self) -> Counter[int]:
        """How many sisters have something of each lot."""
        return Counter(lot for lots in self.sister_lots.values() for lot in lots)

    def _sisters(self) -> Sequence[Sister]:
        sisters = [
            self._sister(self.every_batch[batch], lots)
            for batch, lots in self.sister_lots.items()
        ]
        return sorted(sisters, key=lambda s: (-len(s.shared), s.code))

    def _sister(self, batch: Batch, lots: Iterable[int]) -> Sister:
        rarest = sorted(lots, key=lambda lot: (self.rarity[lot], lot))
        return Sister(
            batch_id=batch.pk,
            code=batch.code or "",
            product=str(batch.product or batch.version.recipe),
            made_on=batch.made_on,
            state=batch.get_status_display(),
            shared=tuple(self.lots[lot].code for lot in rarest),
        )

    def _affected(self) -> Sequence[AffectedBatch]:
        made: dict[int, list[int]] = defaultdict(list)
        for batch, lot in self.makes:
            made[batch].append(lot)
        makers = {batch for batch, lot in self.makes if lot in self.forward}
        drew = {batch for batch, lot, _quantity in self.draws if lot in self.forward}
        found = [
            self._affected_batch(self.batches[batch], made[batch])
            for batch in makers | drew | self._own_batch
        ]
        return sorted(found, key=lambda b: (b.batch_id != self.batch_id, b.code))

    def _affected_batch(self, batch: Batch, made: Sequence[int]) -> AffectedBatch:
        jars = [lot for lot in made if lot in self.lots and self.lots[lot].product_id]
        sums = [row for lot in jars for row in self.ledger.get(lot, ())]
        return AffectedBatch(
            batch_id=batch.pk,
            code=batch.code or "",
            product=str(batch.product or batch.version.recipe),
            made_on=batch.made_on,
            state=batch.get_status_display(),
            is_stopped=any(self.lots[lot].stopped_at for lot in jars),
            balance=balance_of(sums),
        )

    def _whereabouts(self) -> Sequence[Whereabouts]:
        jars = sorted(
            (self.lots[lot] for lot in self.forward if self.lots[lot].product_id),
            key=lambda lot: (lot.pk not in self.subject.lot_ids, lot.code),
        )
        return [
            Whereabouts(
                code=lot.code,
                product=lot.name,
                what=say(words),
                place=row.outlet,
                on=None if words in {"on the shelf", "at an outlet"} else row.on,
                jars=row.quantity,
                outlet_id=row.outlet_id,
            )
            for lot in jars
            for row, words in whereabouts_of(self.ledger.get(lot.pk, ()))
        ]


_LOT_RELATIONS = ("material", "product__jar_size", "purchase__supplier")


def _batches(numbers: Iterable[int]) -> QuerySet[Batch]:
    return (
        Batch.objects.filter(pk__in=id_rows(numbers))
        .select_related("product__jar_size", "version__recipe")
        .order_by()
    )
