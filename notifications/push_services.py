"""Which addresses a browser may name as its push service.

The address comes from whoever sends the form, and we will post to it: so only to services that browsers really use, and to those
that the house adds (PUSH_HOSTS). The list is from memory and from what browsers hand out; none of them publishes one.
"""

from urllib.parse import urlsplit

from django.conf import settings

from notifications import outward

HOSTS = ("fcm.googleapis.com", "updates.push.services.mozilla.com", "web.push.apple.com")
BELOW = (".push.services.mozilla.com", ".push.apple.com", ".notify.windows.com")
LONGEST = 700


def may_be_asked(endpoint: str) -> bool:
    """Whether we would post a notice there."""
    try:
        outward.check(endpoint)
        host, port = urlsplit(endpoint).hostname or "", urlsplit(endpoint).port
    except (outward.NotAllowed, ValueError):
        return False
    if len(endpoint) > LONGEST or not endpoint.isascii() or not endpoint.isprintable() or " " in endpoint:
        return False
    if outward.is_this_machine(host):
        return True  # `check` let it through: the demo, or development
    if host in settings.PUSH_HOSTS:
        return True
    return port in (None, 443) and (host in HOSTS or host.endswith(BELOW))
