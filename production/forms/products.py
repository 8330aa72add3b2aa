"""Forms of products, their prices and jar sizes."""

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext_lazy as _

from inventory.forms.choosing import packaging_field, product_field
from inventory.forms.measured import MeasuredForm
from inventory.measures import Measure
from inventory.models import JarSize, Product, ProductPrice
from production import recipes
from production.forms.choosing import recipe_field


class FruitChoice(forms.RadioSelect):
    """The fruit colours to choose from, each shown with its name."""

    def create_option(self, *args: Any, **kwargs: Any) -> dict[str, Any]:
        option = super().create_option(*args, **kwargs)
        option["attrs"]["class"] = f"fruit-{option['value']}"
        return option


class ProductForm(MeasuredForm):
    measured = {"net_weight_g": Measure.WEIGHT}

    recipe = recipe_field(label=_("Filled with"))
    likeness = product_field(
        required=False,
        help_text=_("A product whose sales stand in while this one has none."),
        label=_("Likeness"),
    )

    class Meta:
        model = Product
        fields = [
            "name",
            "jar_size",
            "best_by_months",
            "net_weight_g",
            "accent",
            "gtin",
            "likeness",
            "withdrawn_on",
        ]
        widgets = {
            "accent": FruitChoice(attrs={"class": "fruit-choice"}),
            "withdrawn_on": forms.DateInput(attrs={"type": "date"}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        filling = getattr(self.instance, "filling", None) if self.instance.pk else None
        if filling is not None:
            self.fields["recipe"].initial = filling.recipe_id
        self.order_fields(["name", "recipe"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not self.instance.pk and "name" in data and "jar_size" in data:
            self.instance.code = free_code(f"{data['name']} {data['jar_size']}")
        return data

    def keep(self) -> Product:
        """Save the product and what it is filled with.

        Raises:
            RecipeError: batches of another recipe were made for it.
        """
        product: Product = self.save(commit=False)
        if product.pk:
            recipes.fill_with(product=product, recipe=self.cleaned_data["recipe"])
            product.save()
            return product
        product.save()
        recipes.fill_with(product=product, recipe=self.cleaned_data["recipe"])
        return product


def free_code(words: str) -> str:
    """A code for addresses that no other product has."""
    plain = slugify(words)[:36] or "product"
    code, number = plain, 1
    while Product.objects.filter(code=code).exists():
        number += 1
        code = f"{plain}-{number}"
    return code


class PriceForm(forms.ModelForm):
    class Meta:
        model = ProductPrice
        fields = ["outlet_kind", "price", "valid_from"]
        widgets = {"valid_from": forms.DateInput(attrs={"type": "date"})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["valid_from"].initial = timezone.localdate()


class JarSizeForm(MeasuredForm):
    measured = {
        "brim_ml": Measure.VOLUME,
        "neck_area_cm2": Measure.AREA,
        "diameter_mm": Measure.LENGTH,
        "height_mm": Measure.LENGTH,
        "label_height_mm": Measure.LENGTH,
        "lid_diameter_mm": Measure.LENGTH,
    }

    jar = packaging_field(required=False, label=_("Jar"))
    lid = packaging_field(required=False, label=_("Lid"))

    class Meta:
        model = JarSize
        fields = [
            "name",
            "brim_ml",
            "neck_area_cm2",
            "flat_sides",
            "diameter_mm",
            "height_mm",
            "label_height_mm",
            "flat_sides",
            "lid_diameter_mm",
            "processing_size",
            "per_canner_load",
            "jar",
            "lid",
        ]
        widgets = {
            "processing_size": forms.Select(
                choices=[
                    ("quarter-pint", _("quarter-pint")),
                    ("half-pint", _("half-pint")),
                    ("pint", _("pint")),
                    ("quart", _("quart")),
                ]
            )
        }
