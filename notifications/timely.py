"""How old the news of a mail provider may be: what was signed days ago, or is dated ahead, is a copy or a forgery and is set aside.

Which times can be believed, by what the views of django-anymail 15 check (they compare none with the clock themselves):

- Mailgun signs a time and a token, SendGrid (where its key is set) a time and the body: `portal.door.hooks` reads both.
- MailerSend, Mailtrap (where its key is set), Mandrill, Postal and Unisender Go sign the body, and the time of the event is in it.
- Resend's signature (where its key is set) is checked by Svix's library, which refuses more than five minutes either way.
- Amazon SES, Brevo, Mailjet, Postmark and SparkPost sign nothing that is checked: a time would be as easily made up as the rest.

Besides, and for all of them, each piece of news counts once, by its name (`Told`, `Incoming`).
"""

import time
from datetime import timedelta

from anymail.signals import AnymailInboundEvent, AnymailTrackingEvent

# No provider goes on trying for as long (a day or less, as they document it), so nothing true is lost. Clocks differ by minutes.
OLDEST = timedelta(days=4)
AHEAD = timedelta(minutes=10)
BODY_IS_SIGNED = {"MailerSend", "Mailtrap", "Mandrill", "Postal", "Unisender Go"}


def is_timely(moment: float) -> bool:
    """`moment`: seconds since 1970 (Unix time). False too for what is no number (NaN)."""
    age = time.time() - moment
    return -AHEAD.total_seconds() <= age <= OLDEST.total_seconds()


def event_is_timely(event: AnymailTrackingEvent | AnymailInboundEvent, esp_name: str) -> bool:
    """Whether news may be acted upon, as far as its own time can be believed."""
    if esp_name not in BODY_IS_SIGNED or event.timestamp is None:
        return True
    return is_timely(event.timestamp.timestamp())
