from django.urls import path

from portal.customer import (
    booking,
    contact,
    copy,
    explained,
    home,
    leaving,
    library,
    mine,
    photo,
    questions,
    quote,
    warranty,
)

urlpatterns = [
    path("", home.home, name="home"),
    path("book/", booking.book, name="book"),
    path("booked/", booking.booked, name="booked"),
    path("settled/", booking.settled, name="settled"),
    path("library/", library.library, name="library"),
    path("library/<slug:mechanism>/<slug:slug>/", library.library_entry, name="library_entry"),
    path("my/<str:ref>/", mine.my, name="my"),
    path("my/<str:ref>/news/", mine.my_news, name="my_news"),
    path("my/<str:ref>/photo/<uuid:uid>/", photo.my_photo, name="my_photo"),
    path("my/<str:ref>/explained/<int:finding>/", explained.my_explained, name="my_explained"),
    path("my/<str:ref>/quote/", quote.my_quote, name="my_quote"),
    path("my/<str:ref>/quote.pdf", copy.my_quote_pdf, name="my_quote_pdf"),
    path("my/<str:ref>/quote/total/", quote.my_total, name="my_total"),
    path("my/<str:ref>/questions/", questions.my_questions, name="my_questions"),
    path("my/<str:ref>/warranty/", warranty.my_warranty, name="my_warranty"),
    path("my/<str:ref>/warranty/claim/", warranty.my_claim, name="my_claim"),
    path("my/<str:ref>/settings/", contact.my_settings, name="my_settings"),
    path("my/<str:ref>/posted/", leaving.my_posted, name="my_posted"),
    path("my/<str:ref>/leave/", leaving.my_leave, name="my_leave"),
]
