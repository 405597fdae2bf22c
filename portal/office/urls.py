from django.urls import URLPattern, path

from portal.office import comebacks, evidence, house, letters, one, owed, owed_presses, people, views

urlpatterns: list[URLPattern] = [
    path("", views.office, name="office"),
    path("owed/", owed.office_owed, name="office_owed"),
    path("owed.csv", owed.office_owed_file, name="office_owed_file"),
    path("letters/", letters.office_letters, name="office_letters"),
    path("letters/<int:pk>/", letters.office_letter, name="office_letter"),
    path("letters/<int:pk>/html/", letters.office_letter_html, name="office_letter_html"),
    path("letters/<int:pk>/again/", letters.office_resend, name="office_resend"),
    path("comebacks/", comebacks.office_comebacks, name="office_comebacks"),
    path("settings/", house.office_settings, name="office_settings"),
    path("settings/rates/", house.office_tax_rate, name="office_tax_rate"),
    path("settings/terms/", house.office_warranty_term, name="office_warranty_term"),
    path("settings/mailbox/", house.office_mailbox, name="office_mailbox"),
    path("staff/", people.office_staff, name="office_staff"),
    path("staff/<int:pk>/password/", people.office_password, name="office_password"),
    path("staff/<int:pk>/role/", people.office_role, name="office_role"),
    path("staff/<int:pk>/access/", people.office_access, name="office_access"),
    path("<str:ref>/", one.office_job, name="office_job"),
    path("<str:ref>/release/", one.office_release, name="office_release"),
    path("<str:ref>/call/", one.office_call, name="office_call"),
    path("<str:ref>/address/", one.office_address, name="office_address"),
    path("<str:ref>/nudge/", views.office_nudge, name="office_nudge"),
    path("<str:ref>/ring/", owed_presses.office_ring, name="office_ring"),
    path("<str:ref>/put-off/", owed_presses.office_put_off, name="office_put_off"),
    path("<str:ref>/take-up/", owed_presses.office_take_up, name="office_take_up"),
    path("<str:ref>/renew/", views.office_renew, name="office_renew"),
    path("<str:ref>/evidence/", evidence.office_evidence, name="office_evidence"),
    path("<str:ref>/link/", views.office_link, name="office_link"),
]
