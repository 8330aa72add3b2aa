"""Addresses of the recipes pages."""

from django.urls import URLPattern, path

from production.views import recipes

RECIPE = "kitchen/recipes/<slug:slug>/"

urlpatterns: list[URLPattern] = [
    path("kitchen/recipes/", recipes.recipe_list, name="recipe-list"),
    path("kitchen/recipes/add/", recipes.recipe_create, name="recipe-create"),
    path(RECIPE, recipes.recipe_detail, name="recipe-detail"),
    path(
        f"{RECIPE}versions/<int:number>/",
        recipes.recipeversion_detail,
        name="recipeversion-detail",
    ),
    path(f"{RECIPE}write/", recipes.recipeversion_create, name="recipeversion-create"),
    path(f"{RECIPE}retire/", recipes.recipe_retire, name="recipe-retire"),
]
