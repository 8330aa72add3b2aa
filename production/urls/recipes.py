"""Addresses of recipes, products and jar sizes."""

from django.urls import URLPattern, path

from production.views import prediction, products, recipes

RECIPE = "kitchen/recipes/<slug:slug>/"
PRODUCT = "kitchen/products/<slug:code>/"

urlpatterns: list[URLPattern] = [
    path("kitchen/recipes/", recipes.recipe_list, name="recipe-list"),
    path("kitchen/recipes/add/", recipes.recipe_create, name="recipe-create"),
    path("kitchen/recipes/try/", prediction.recipe_try, name="recipe-try"),
    path(RECIPE, recipes.recipe_detail, name="recipe-detail"),
    path(
        f"{RECIPE}versions/<int:number>/",
        recipes.recipeversion_detail,
        name="recipeversion-detail",
    ),
    path(
        f"{RECIPE}prediction/", prediction.recipe_prediction, name="recipe-prediction"
    ),
    path(f"{RECIPE}write/", recipes.recipeversion_create, name="recipeversion-create"),
    path(f"{RECIPE}retire/", recipes.recipe_retire, name="recipe-retire"),
    path("kitchen/products/", products.product_list, name="product-list"),
    path("kitchen/products/add/", products.product_edit, name="product-create"),
    path(PRODUCT, products.product_detail, name="product-detail"),
    path(f"{PRODUCT}edit/", products.product_edit, name="product-edit"),
    path(f"{PRODUCT}price/", products.price_add, name="price-create"),
    path("kitchen/jars/", products.jar_size_list, name="jarsize-list"),
    path("kitchen/jars/add/", products.jar_size_edit, name="jarsize-create"),
    path("kitchen/jars/<int:pk>/", products.jar_size_edit, name="jarsize-edit"),
]
