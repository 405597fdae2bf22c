from django.urls import path

from portal.writing import editing, history

urlpatterns = [
    path("new/", editing.library_new, name="library_new"),
    path("<slug:mechanism>/<slug:slug>/edit/", editing.library_edit, name="library_edit"),
    path("<slug:mechanism>/<slug:slug>/history/", history.library_history, name="library_history"),
    path("<slug:mechanism>/<slug:slug>/history/<int:n>/", history.library_version, name="library_version"),
    path("<slug:mechanism>/<slug:slug>/back/", history.library_back, name="library_back"),
]
