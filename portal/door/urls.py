from django.urls import URLPattern, path

from portal.door import (
    asking,
    document,
    first_run,
    hooks,
    language,
    letterbox,
    letterbox_mail,
    letterbox_texts,
    letters_off,
    opening,
    staff,
)

urlpatterns: list[URLPattern] = [
    path("open/<str:key>", opening.open_link, name="open_link"),
    path("new-link/", opening.new_link, name="new_link"),
    path("forget/", opening.forget_device, name="forget_device"),
    path("find/", asking.find, name="find"),
    path("asked/", asking.link_asked, name="link_asked"),
    path("check/", document.check_document, name="check_document"),
    path("language/", language.choose_language, name="choose_language"),
    path("letters-off/<str:token>/", letters_off.letters_off, name="letters_off"),
    path("hooks/mail/<slug:provider>/<slug:what>/", hooks.mail_hook, name="mail_hook"),
    path("first-run/", first_run.first_run, name="first_run"),
    path("letterbox/", letterbox.letterbox, name="letterbox"),
    path("letterbox/texts/", letterbox_texts.letterbox_texts, name="letterbox_texts"),
    path("letterbox/texts/take/", letterbox_texts.letterbox_take_text, name="letterbox_take_text"),
    path("letterbox/notices/take/", letterbox_texts.letterbox_take_notice, name="letterbox_take_notice"),
    path("letterbox/<str:name>/", letterbox_mail.letterbox_mail, name="letterbox_mail"),
    path("letterbox/<str:name>/answer/", letterbox_mail.letterbox_answer, name="letterbox_answer"),
    path("letterbox/<str:name>/attached/<int:n>/", letterbox.letterbox_attached, name="letterbox_attached"),
    path("letterbox/<str:name>/html/", letterbox.letterbox_html, name="letterbox_html"),
    path("staff/", staff.login, name="login"),
    path("staff/out/", staff.logout, name="logout"),
    path("staff/password/", staff.password, name="password"),
]
