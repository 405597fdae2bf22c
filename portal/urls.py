"""Every address. One include for each part of the house; the parts keep their own lists."""

from django.conf import settings
from django.contrib import admin
from django.urls import include, path

from portal.health import healthz
from portal.photos import photo

urlpatterns = [
    path("", include("portal.customer.urls")),
    path("", include("portal.door.urls")),
    path("library/", include("portal.writing.urls")),
    path("bench/", include("portal.bench.urls")),
    path("office/", include("portal.office.urls")),
    path("photo/<uuid:uid>/<int:width>", photo, name="photo"),
    path("healthz", healthz, name="healthz"),
]

if settings.ADMIN_PATH:
    urlpatterns += [path(f"{settings.ADMIN_PATH}/", admin.site.urls)]
