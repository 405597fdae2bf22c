"""A session that may see more from now on goes on under a new key."""

from django.contrib.sessions.backends.base import SessionBase

OLD_KEY_LIVES_SECONDS = 60


def under_a_new_key(session: SessionBase) -> None:
    """Give `session` a new key, so that a key which somebody else planted in this browser opens nothing new.

    `cycle_key` would end the old key at once. Photographs and news that the page before had asked for come back a moment later under
    that key, are taken for a stranger's, and their answer deletes the new cookie: the browser would lose every job that it had opened.
    So the old key keeps what it could see, for a minute.
    """
    kept = dict(session.items())  # reads it: a key that nobody ever gave out is none
    old = session.session_key
    session.create()
    session.update(kept)
    if old:
        before = type(session)(old)
        before.set_expiry(OLD_KEY_LIVES_SECONDS)
        before.save()
