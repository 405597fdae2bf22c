from django.urls import URLPattern, path

from portal.door import asking, opening, staff

urlpatterns: list[URLPattern] = [
    path("open/<str:key>", opening.open_link, name="open_link"),
    path("new-link/", opening.new_link, name="new_link"),
    path("forget/", opening.forget_device, name="forget_device"),
    path("find/", asking.find, name="find"),
    path("asked/", asking.link_asked, name="link_asked"),
    path("staff/", staff.login, name="login"),
    path("staff/out/", staff.logout, name="logout"),
    path("staff/password/", staff.password, name="password"),
]
