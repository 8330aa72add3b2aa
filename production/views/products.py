"""Products, their prices and jar sizes."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.models import JarSize, Product
from inventory.roles import is_owner, owner_required
from inventory.tables.paging import paged
from inventory.words import say
from production import recipes
from production.forms.products import JarSizeForm, PriceForm, ProductForm
from production.selectors import net_check
from production.selectors.kitchen import NoVersionError, current_version
from production.tables.kitchen import JarSizeTable, ProductTable


def product_list(request: HttpRequest) -> HttpResponse:
    table = ProductTable(Product.objects.select_related("jar_size", "filling__recipe"))
    paged(request, table)
    return render(request, "production/product_list.html", {"table": table})


def product_detail(request: HttpRequest, code: str) -> HttpResponse:
    return _show(request, code, PriceForm())


def _show(request: HttpRequest, code: str, price_form: PriceForm) -> HttpResponse:
    product = get_object_or_404(
        Product.objects.select_related("jar_size", "filling__recipe"), code=code
    )
    on = timezone.localdate()
    context: dict[str, Any] = {
        "product": product,
        "batches": product.batches.order_by("-pk")[:10],
    }
    if is_owner(request.user):
        context["prices"] = product.prices.in_force(on=on)
        context["price_form"] = price_form
    filling = getattr(product, "filling", None)
    if filling is not None:
        context["recipe"] = filling.recipe
        try:
            version = current_version(filling.recipe, on=on)
        except NoVersionError:
            pass
        else:
            context["fill"] = net_check.fill_of(product.jar_size, version)
            context["declaration"] = net_check.declaration_of(product, version)
    return render(request, "production/product_detail.html", context)


@owner_required
def product_edit(request: HttpRequest, code: str | None = None) -> HttpResponse:
    product = get_object_or_404(Product, code=code) if code else None
    form = ProductForm(request.POST or None, instance=product)
    if request.method == "POST" and form.is_valid():
        try:
            saved = form.keep()
        except recipes.RecipeError as error:
            form.add_error("recipe", str(error))
        else:
            messages.success(request, say("{saved} is saved.", saved=saved))
            return redirect(saved)
    return render(
        request, "production/product_form.html", {"form": form, "product": product}
    )


@owner_required
@require_POST
def price_add(request: HttpRequest, code: str) -> HttpResponse:
    product = get_object_or_404(Product, code=code)
    form = PriceForm(request.POST)
    form.instance.product = product
    if form.is_valid():
        price = form.save()
        messages.success(
            request,
            say("{price} from {valid_from}.", price=price, valid_from=price.valid_from),
        )
        return redirect(product)
    return _show(request, code, form)


def jar_size_list(request: HttpRequest) -> HttpResponse:
    table = JarSizeTable(JarSize.objects.select_related("jar", "lid"))
    paged(request, table)
    return render(request, "production/jarsize_list.html", {"table": table})


@owner_required
def jar_size_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    size = get_object_or_404(JarSize, pk=pk) if pk else None
    form = JarSizeForm(request.POST or None, instance=size)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(request, say("The jar size {saved} is saved.", saved=saved))
        return redirect("production:jarsize-list")
    return render(request, "production/jarsize_form.html", {"form": form, "size": size})
