"""Forms of the kitchen pages: what a cook types becomes values."""

import datetime
from decimal import Decimal
from typing import Any
from uuid import uuid4

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from inventory.forms.choosing import product_field
from inventory.models import Lot, Material, Product
from inventory.quantities import QuantityError
from inventory.words import say
from production.batches import BatchError, Draw, Filled
from production.forms.choosing import (
    address_of,
    any_lots,
    lot_field,
    offered_products,
    usable_lots,
)
from production.gate_terms import Finding, Override
from production.models import Batch, RecipeLine, RecipeVersion, SealCheck
from production.reading_entry import EntryError, read_entry, read_weights
from production.readings import ReadingKind
from production.scaling import ScalingError, check_factor
from production.selectors import draws as draw_lots

DATE = forms.DateInput(attrs={"type": "date"})
OTHER_KINDS = (
    ReadingKind.FINISHED_MASS,
    ReadingKind.FILL_TEMPERATURE,
    ReadingKind.WATER_ACTIVITY,
    ReadingKind.PH,
)
MOST_FILE_BYTES = 100_000
CLOCKS_APART = datetime.timedelta(minutes=2)
MOMENT = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")


def not_ahead(moment: datetime.datetime) -> None:
    """Refuse a moment that has not come yet."""
    if moment > timezone.now() + CLOCKS_APART:
        raise forms.ValidationError(say("This moment has not come yet."))


class PlanForm(forms.Form):
    product = product_field(help_text=_("Choose what goes into the jars."))
    planned_on = forms.DateField(label=_("First cook day"), widget=DATE)
    share = forms.DecimalField(
        label=_("Share of the tested batch (%)"),
        initial=100,
        max_digits=6,
        decimal_places=2,
        help_text=_("Down freely; for more than 100 % cook another batch."),
    )
    note = forms.CharField(required=False, max_length=400)

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
        for proposed in draw_lots.proposed_draws(
            batch.version, factor=batch.factor, on=on
        ):
            self._add_line(proposed, on)

    def _add_line(self, proposed: draw_lots.ProposedDraw, on: datetime.date) -> None:
        line = proposed.line
        lots = usable_lots([line.material_id], on)
        parts: list[tuple[Lot | None, str]] = [
            (part.lot, f"{part.quantity.normalize():f}") for part in proposed.parts
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
                label=say("{unit} of it", unit=say(line.material.unit)),
            )
            pairs.append((lot_name, amount_name))
        self.rows.append({"line": line, "proposed": proposed, "pairs": pairs})

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
            quantity = _read_amount(line.material, amount)
            return [Draw(lot=lot, quantity=quantity, line=line)]
        except (QuantityError, BatchError) as error:
            self.add_error(name, str(error))
            return []


def _read_amount(material: Material, amount: str) -> Decimal:
    """A bare number is in the material's own unit; anything else as a cook says it."""
    plain = amount.strip().replace(",", ".")
    if plain.replace(".", "", 1).isdigit():
        return Decimal(plain)
    return material.read_amount(amount)


class ReadingForm(forms.Form):
    """One reading; `confirmed` carries the text the cook has looked at twice."""

    kind = forms.ChoiceField(
        choices=lambda: [(kind.value, kind.label) for kind in ReadingKind],
        widget=forms.HiddenInput,
    )
    value = forms.CharField(max_length=20, label=_("Reading"))
    earlier = forms.DateTimeField(
        required=False, label=_("It was earlier"), widget=MOMENT, validators=[not_ahead]
    )
    confirmed = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, is_metric: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.is_metric = is_metric

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if "kind" in data and "value" in data:
            try:
                data["number"] = read_entry(
                    ReadingKind(data["kind"]), data["value"], is_metric=self.is_metric
                )
            except EntryError as error:
                self.add_error("value", str(error))
        data["is_confirmed"] = data.get("confirmed") == data.get("value")
        return data


class OtherReadingForm(ReadingForm):
    """A reading the page does not ask for by itself."""

    kind = forms.ChoiceField(
        label=_("What was read"),
        choices=lambda: [(kind.value, kind.label) for kind in OTHER_KINDS],
    )


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
            self.fields["made_g"] = forms.DecimalField(
                label=say("Weight made (g)"), min_value=Decimal("0.1"), max_digits=9
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


class WeighForm(forms.Form):
    tares = forms.CharField(
        required=False,
        label=_("Empty jars with lid and label (g)"),
        help_text=_("A few weights; their average serves every jar without its own."),
    )
    jars = forms.CharField(
        required=False,
        label=_("Full jars (g)"),
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=(
            _(
                "One jar a line, at room temperature: its full weight, and its own "
                "empty weight after it where you know it."
            )
        ),
    )

    file = forms.FileField(
        required=False,
        label=_("Or a file of weights"),
        help_text=_("Plain text or CSV, a jar a line, as a scale writes it."),
    )

    def clean_file(self) -> str:
        """The lines of the file; columns become words."""
        uploaded = self.cleaned_data["file"]
        if uploaded is None:
            return ""
        if uploaded.size > MOST_FILE_BYTES:
            raise forms.ValidationError(say("The file is larger than 100 kB."))
        try:
            text: str = uploaded.read().decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise forms.ValidationError(say("The file is no plain text.")) from error
        return text.replace("\t", ";")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        field = "file" if data.get("file") else "jars"
        lines = "\n".join(data.get(each) or "" for each in ("jars", "file"))
        try:
            data["weights"] = read_weights(lines, tares=data.get("tares") or "")
        except EntryError as error:
            self.add_error(field, str(error))
        return data


class ReasonForm(forms.Form):
    reason = forms.CharField(
        label=_("Reason"), widget=forms.Textarea(attrs={"rows": 2}), max_length=400
    )


class AddForm(forms.Form):
    """More of an ingredient of the recipe, from one of its lots."""

    lot = lot_field(any_lots(), address_of("lot"))
    amount = forms.CharField(
        max_length=40, help_text=_("As a cook says it: 2 tbsp, 250 g, 3 lemons.")
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
