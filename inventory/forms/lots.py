"""Forms of what is done with one lot, or with one row of the ledger."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inventory import ledger
from inventory.forms.checking import Checked
from inventory.forms.fields import (
    AmountField,
    DayField,
    MoneyField,
    TokenField,
    by_units,
    clean_amount,
    weigh_while_typing,
)
from inventory.forms.measured import MeasureField
from inventory.measures import Measure
from inventory.models import Lot, Movement
from inventory.quantities import format_amount
from inventory.selectors.consequences import worth_text
from inventory.words import say

__all__ = [
    "CorrectForm",
    "CountForm",
    "FreezeForm",
    "LotFactsForm",
    "LotForm",
    "ReturnForm",
    "WriteOffForm",
]


class LotForm(forms.Form):
    """What is done with one lot, or a part of it."""

    token = TokenField()

    def __init__(
        self, *args: Any, lot: Lot, shows_worth: bool = False, **kwargs: Any
    ) -> None:
        self.lot, self.shows_worth = lot, shows_worth
        super().__init__(*args, **kwargs)
        if lot.unit == "g":
            weigh_while_typing(self.fields["amount"], material=lot.material)

    def amount_of_lot(self, field: str = "amount") -> Decimal | None:
        """The quantity typed, in the lot's unit; a bare number is pieces or jars."""
        text = self.cleaned_data.get(field, "")
        if self.lot.unit != "g" and text.strip().isdecimal():
            return Decimal(text.strip())
        if self.lot.material is None:
            self.add_error(field, say("Enter whole jars, for example 3."))
            return None
        return clean_amount(self, self.lot.material, field)


class LotFactsForm(forms.ModelForm):
    """What can be put right about a lot that was bought; its quantity is counted."""

    cost = MoneyField(label=_("Cost of the whole lot"))
    best_by = DayField(required=False, label=_("Best by"))

    class Meta:
        model = Lot
        fields = ("cost", "best_by", "supplier_mark", "origin", "note")
        widgets = {"note": forms.Textarea({"rows": 3})}


class FreezeForm(LotForm):
    amount = AmountField(
        help_text=by_units(
            _("How much of it, as you weigh it: 12 lb, 2 lb 4 oz."),
            _("How much of it, as you weigh it: 5.5 kg, 800 g."),
        )
    )
    best_by = DayField(
        required=False,
        label=_("Use by"),
        help_text=_("Empty: the days this material keeps frozen."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        cleaned["quantity"] = self.amount_of_lot()
        return cleaned


class WriteOffForm(Checked, LotForm):
    amount = AmountField(
        help_text=by_units(
            _("How much of it: 8 oz, 2 lb, 3 jars."),
            _("How much of it: 250 g, 2 kg, 3 jars."),
        )
    )
    reason = forms.ChoiceField(
        choices=[(reason.value, reason.label) for reason in ledger.WRITE_OFFS],
        label=_("Reason"),
    )
    note = forms.CharField(max_length=200, required=False, label=_("Note"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        cleaned["quantity"] = self.amount_of_lot()
        return cleaned

    def read_back(self, name: str) -> str:
        quantity = self.cleaned_data.get("quantity")
        if name != "amount" or not quantity:
            return ""
        left = self.lot.home_balance - quantity  # type: ignore[attr-defined]  # annotated
        if left < 0:
            return say("That is more than is at home.")
        told = say("{left} would be left.", left=format_amount(left, self.lot.unit))
        if not self.shows_worth:
            return told
        worth = worth_text(self.lot, quantity)
        return f"{say('That is worth {worth}.', worth=worth)} {told}"


class ReturnForm(LotForm):
    amount = AmountField(label=_("Jars brought back"), initial="1", help_text=_(""))
    refund = MoneyField(
        label=_("Money given back for each jar"),
        required=False,
        help_text=_("Empty: none. A refund lowers the year's sales."),
    )
    to_shelf = forms.BooleanField(
        label=_("Sealed and sound: it goes back on the shelf"),
        required=False,
        help_text=_("Otherwise it is written off as spoiled."),
    )
    note = forms.CharField(max_length=200, label=_("What was wrong"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        cleaned["quantity"] = self.amount_of_lot()
        return cleaned


class CountForm(LotForm):
    amount = forms.CharField(
        label=_("Counted or weighed"),
        help_text=_("What is really there now; 0 for nothing."),
    )
    note = forms.CharField(max_length=200, required=False, label=_("Note"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("amount", "").strip() in {"0", "0 g", "0 lb", "0 oz"}:
            cleaned["quantity"] = Decimal(0)
        else:
            cleaned["quantity"] = self.amount_of_lot()
        return cleaned


class CorrectForm(forms.Form):
    figure = forms.DecimalField(
        label=_("The right figure"),
        min_value=Decimal(0),
        decimal_places=3,
        max_digits=14,
        localize=True,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        help_text=_("Without a sign; 0 cancels the row."),
    )
    note = forms.CharField(max_length=200, label=_("Why"))

    def __init__(self, *args: Any, movement: Movement, **kwargs: Any) -> None:
        self.movement = movement
        super().__init__(*args, **kwargs)
        if movement.lot.unit == "g":
            given = self.fields["figure"]
            self.fields["figure"] = MeasureField(
                measure=Measure.WEIGHT,
                places=3,
                least=Decimal(0),
                label=given.label,
                help_text=given.help_text,
            )

    @property
    def signed(self) -> Decimal:
        """The figure with the sign of the row."""
        figure: Decimal = self.cleaned_data["figure"]
        return -figure if self.movement.quantity < 0 else figure
