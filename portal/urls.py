"""Every address. One include for each part of the house; the parts keep their own lists."""

from django.conf import settings
from django.contrib import admin
from django.urls import path

from portal.health import healthz

urlpatterns = [
    path("healthz", healthz, name="healthz"),
]

if settings.ADMIN_PATH:
    urlpatterns += [path(f"{settings.ADMIN_PATH}/", admin.site.urls)]
