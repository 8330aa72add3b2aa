"""Forms of the kitchen pages: what a cook types becomes values."""

import datetime
from decimal import Decimal
from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory.forms.choosing import product_field
from inventory.forms.fields import by_units
from inventory.forms.measured import MeasureField
from inventory.measure_reader import MeasureError, read_measure
from inventory.measures import Measure, unit_of
from inventory.models import Lot, Material, Product
from inventory.quantities import MILLIGRAM, QuantityError, format_mass
from inventory.words import say
from production.batches import BatchError, Draw, Filled
from production.forms.choosing import (
    address_of,
    any_lots,
    lot_field,
    offered_products,
    usable_lots,
)
from production.forms.reading import MOMENT, not_ahead
from production.gate_terms import Finding, Override
from production.models import Batch, RecipeLine, RecipeVersion, SealCheck
from production.scaling import ScalingError, check_factor
from production.selectors import draws as draw_lots
from production.selectors.choosing import KnownLots

DATE = forms.DateInput(attrs={"type": "date"})


class PlanForm(forms.Form):
    product = product_field(
        help_text=_("Choose what goes into the jars."), label=_("Product")
    )
    planned_on = forms.DateField(label=_("First cook day"), widget=DATE)
    share = forms.DecimalField(
        label=_("Share of the tested batch (%)"),
        initial=100,
        max_digits=6,
        decimal_places=2,
        help_text=_("Down freely; for more than 100 % cook another batch."),
    )
    note = forms.CharField(required=False, max_length=400, label=_("Note"))

    def __init__(self, *args: Any, on: datetime.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        product = self.fields["product"]
        product.offer(offered_products(on), address_of("offered"))  # type: ignore[attr-defined] # ours
        self.fields["planned_on"].initial = on

    def clean_share(self) -> Decimal:
        try:
            return check_factor(self.cleaned_data["share"] / 100)
        except ScalingError as error:
            raise forms.ValidationError(str(error)) from error


class DrawsForm(forms.Form):
    """One choice of lot and amount for every part of every line, and a spare."""

    def __init__(self, *args: Any, batch: Batch, on: datetime.date, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.rows: list[dict[str, Any]] = []
        self.proposals: dict[tuple[int, str], Decimal] = {}
        for proposed in draw_lots.proposed_draws(
            batch.version, factor=batch.factor, on=on
        ):
            self._add_line(proposed, on)

    def _add_line(self, proposed: draw_lots.ProposedDraw, on: datetime.date) -> None:
        line = proposed.line
        lots = KnownLots(
            usable_lots([line.material_id], on).rows,
            {part.lot: part.quantity for part in proposed.at_hand},
        )
        parts: list[tuple[Lot | None, str]] = [
            (part.lot, self._proposed(line.material, part.quantity))
            for part in proposed.parts
        ]
        pairs = []
        for number, (lot, amount) in enumerate([*parts, (None, "")]):
            lot_name, amount_name = (
                f"lot-{line.pk}-{number}",
                f"take-{line.pk}-{number}",
            )
            self.fields[lot_name] = lot_field(
                lots,
                address_of("lot", material=line.material_id),
                listed_by=f"lot-{line.pk}-0",
                required=False,
                initial=lot,
                label=say("Lot of {material}", material=line.material),
            )
            self.fields[amount_name] = forms.CharField(
                required=False,
                initial=amount,
                max_length=40,
                label=say("{unit} of it", unit=_unit_of(line.material)),
            )
            pairs.append((lot_name, amount_name))
        self.rows.append({"line": line, "proposed": proposed, "pairs": pairs})

    def _proposed(self, material: Material, quantity: Decimal) -> str:
        """A proposal as shown; left as it is, the very quantity is drawn."""
        shown = (
            format_mass(quantity)
            if material.unit == "g"
            else f"{quantity.normalize():f}"
        )
        self.proposals[material.pk, shown] = quantity
        return shown

    @property
    def lines(self) -> list[dict[str, Any]]:
        """Rows with their bound fields, for the template."""
        return [
            {**row, "fields": [(self[lot], self[take]) for lot, take in row["pairs"]]}
            for row in self.rows
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        draws = []
        for row in self.rows:
            for lot_name, amount_name in row["pairs"]:
                lot, amount = data.get(lot_name), data.get(amount_name)
                if lot and amount:
                    draws += self._draw(row["line"], lot, amount, amount_name)
                elif lot or amount:
                    self.add_error(
                        amount_name, say("Choose a lot and an amount, or neither.")
                    )
        data["draws"] = draws
        return data

    def _draw(self, line: RecipeLine, lot: Lot, amount: str, name: str) -> list[Draw]:
        try:
            quantity = self.proposals.get((line.material_id, amount))
            if quantity is None:
                quantity = _read_amount(line.material, amount)
            return [Draw(lot=lot, quantity=quantity, line=line)]
        except (QuantityError, MeasureError, BatchError) as error:
            self.add_error(name, str(error))
            return []


def _unit_of(material: Material) -> str:
    return unit_of(Measure.WEIGHT) if material.unit == "g" else str(say(material.unit))


def _read_amount(material: Material, amount: str) -> Decimal:
    """A bare number is in the seller's own unit; anything else as a cook says it."""
    plain = amount.strip().replace(",", ".")
    if not plain.replace(".", "", 1).isdigit():
        return material.read_amount(amount)
    if material.unit == "g":
        return read_measure(plain, Measure.WEIGHT).quantize(MILLIGRAM)
    return Decimal(plain)


class FinishForm(forms.Form):
    """Jars of every product the recipe fills, or the weight of an intermediate."""

    hands_on_min = forms.IntegerField(
        label=_("Minutes of work, all in"),
        required=False,
        min_value=0,
        max_value=3000,
        help_text=_("Where you counted them; otherwise the recipe's are used."),
    )

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        worked = self.fields.pop("hands_on_min")
        self.products = [] if batch.product is None else _products_of(batch)
        for product in self.products:
            self.fields[f"jars-{product.pk}"] = forms.IntegerField(
                label=say("Jars of {product}", product=product),
                min_value=0,
                max_value=2000,
                required=False,
                initial=0 if product != batch.product else None,
            )
        if not self.products:
            self.fields["made_g"] = MeasureField(
                measure=Measure.WEIGHT, least=Decimal("0.1"), label=say("Weight made")
            )
        self.fields["hands_on_min"] = worked

    @property
    def filled(self) -> list[Filled]:
        """The jars entered, product by product."""
        return [
            Filled(product=product, jars=self.cleaned_data[f"jars-{product.pk}"])
            for product in self.products
            if self.cleaned_data.get(f"jars-{product.pk}")
        ]


def _products_of(batch: Batch) -> list[Product]:
    return list(
        Product.objects.filter(filling__recipe=batch.version.recipe).select_related(
            "jar_size"
        )
    )


class SealForm(forms.Form):
    sealed = forms.IntegerField(label=_("Sealed"), min_value=0)
    failed = forms.IntegerField(label=_("Not sealed"), min_value=0, initial=0)
    fate = forms.ChoiceField(
        label=_("The unsealed jars"),
        choices=[("", _("none")), *SealCheck.Fate.choices],
        required=False,
    )
    earlier = forms.DateTimeField(
        required=False,
        label=_("Checked at"),
        widget=MOMENT,
        validators=[not_ahead],
        help_text=_("Empty means now."),
    )
    confirmed = forms.CharField(required=False, widget=forms.HiddenInput)


class ReasonForm(forms.Form):
    reason = forms.CharField(
        label=_("Reason"), widget=forms.Textarea(attrs={"rows": 2}), max_length=400
    )


class AddForm(forms.Form):
    """More of an ingredient of the recipe, from one of its lots."""

    lot = lot_field(any_lots(), address_of("lot"), label=_("Lot"))
    amount = forms.CharField(
        max_length=40,
        help_text=by_units(
            _("As a cook says it: 2 tbsp, 8 oz, 3 lemons."),
            _("As a cook says it: 2 tbsp, 250 g, 3 lemons."),
        ),
        label=_("Amount"),
    )

    token = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)

    def __init__(self, *args: Any, batch: Batch, on: datetime.date, **kwargs: Any):
        super().__init__(*args, **kwargs)
        materials = sorted({line.material_id for line in batch.version.lines.all()})
        lots, address = (
            usable_lots(materials, on),
            address_of("lot", material=materials),
        )
        self.fields["lot"].offer(lots, address)  # type: ignore[attr-defined] # ours

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if "lot" in data and "amount" in data:
            try:
                data["quantity"] = _read_amount(data["lot"].material, data["amount"])
            except QuantityError as error:
                self.add_error("amount", str(error))
        return data


class RecookForm(ReasonForm):
    """Why a batch is cooked again, and by which version of its recipe."""

    version = forms.ModelChoiceField(
        RecipeVersion.objects.none(),
        required=False,
        empty_label=_("the same version"),
        help_text=_("Write a new version first where something is added to the pot."),
        label=_("Version"),
    )

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "id_again_%s")
        super().__init__(*args, **kwargs)
        versions = batch.version.recipe.versions.exclude(pk=batch.version_id)
        self.fields["version"].queryset = versions  # type: ignore[attr-defined] # it is a model choice


class ReleaseForm(forms.Form):
    """A reason for every requirement the owner may set aside."""

    def __init__(
        self, *args: Any, findings: tuple[Finding, ...], is_owner: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.findings = [each for each in findings if each.is_open]
        for finding in self.findings:
            if finding.may_override and is_owner:
                self.fields[finding.requirement.value] = forms.CharField(
                    required=False,
                    max_length=300,
                    label=say(
                        "Why the {requirement} may be set aside",
                        requirement=finding.requirement.label,
                    ),
                    help_text=say("Only the owner; it prints on the record."),
                )

    @property
    def overrides(self) -> list[Override]:
        """The requirements a reason was written for."""
        return [
            Override(
                requirement=finding.requirement,
                reason=self.cleaned_data[finding.requirement.value],
            )
            for finding in self.findings
            if self.cleaned_data.get(finding.requirement.value)
        ]
