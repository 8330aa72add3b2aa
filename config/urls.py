"""Addresses of the pages."""

from django.contrib import admin
from django.contrib.auth import views as auth_views
from django.urls import include, path

urlpatterns = [
    path("", include("production.urls")),
    path("", include("inventory.urls")),
    path("", include("labels.urls")),
    path("sign-in/", auth_views.LoginView.as_view(), name="login"),
    path("sign-out/", auth_views.LogoutView.as_view(), name="logout"),
    path("language/", include("django.conf.urls.i18n")),
    path("repairs/", admin.site.urls),
]
