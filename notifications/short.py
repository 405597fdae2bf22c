"""What a letter says where there is room for a sentence: a text message, or a notice on a device.

A text is one sentence and the private link, which is put in when it leaves, as in letters (notifications.message). A notice says that
there is news and no more: it lies open on a locked screen, and passes through somebody else's machines.
"""

from django.utils.translation import gettext as _
from django.utils.translation import override

from jobs.actions.linking import KEY_BYTES, KEY_PREFIX
from jobs.models import Workshop
from jobs.words import Way
from notifications import links, render
from notifications.gsm import parts, writable
from notifications.models import Letter

A_KEY = KEY_PREFIX + "x" * (KEY_BYTES * 4 // 3 + 1)  # as long as one: base64url without padding


def write(letter: Letter) -> None:
    """Fill in subject and text of a letter that goes as a text message or a notice. Raises whatever a template raises."""
    letter.subject, letter.html = render.subject_of(letter), ""
    with override(letter.language):
        letter.text = _notice() if letter.channel == Way.PUSH else _text(letter)


def with_key(letter: Letter, key: str) -> str:
    """The text as it leaves, with a private link's key."""
    return letter.text.replace(links.key_place(letter.uid), key)


def _notice() -> str:
    return _("There is news about your repair.")


def _text(letter: Letter) -> str:
    """The fullest of our ways to say it that needs the fewest messages: mostly one."""
    house = Workshop.objects.current()
    name = house.name.rstrip(". ") if house else ""
    full = _sentence(letter, letter.subject)
    bare = _sentence(letter, render.subject_of(letter, item=_("repair")))
    stop = _("To stop: see your page.")
    link = links.open_page(links.key_place(letter.uid))
    ways = [(full, stop), (full,), (bare, stop), (bare,), (bare.rstrip("."),)]
    texts = [f"{writable(' '.join((f'{name}.', *way)))}\n{link}" for way in ways]
    return min(texts, key=lambda text: parts(_as_long(letter, text)))  # the first of those that are shortest


def _sentence(letter: Letter, subject: str) -> str:
    """The subject without our reference, which the page tells."""
    return f"{subject.replace(f' ({letter.job.shown_ref})', '').rstrip('.')}."


def _as_long(letter: Letter, text: str) -> str:
    return text.replace(links.key_place(letter.uid), A_KEY)
