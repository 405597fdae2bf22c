"""What customers owe us, and how we ask for it: an answer to a quote, an answer to our question, payment, or to come and collect.

owed      what is owed, from the rows           course    how far the chasing has come, and when the next nudge goes
nudging   nudges, by themselves and by hand     pausing   paused, taken up again, a call noted
keeping   the summary rows for lists            lapsing   when nothing came
"""

from notifications.chasing.course import Course, courses
from notifications.chasing.lapsing import lapse_all_past
from notifications.chasing.nudging import nudge, nudge_all_due
from notifications.chasing.owed import Owed, owed
from notifications.chasing.pausing import note_call, pause, resume

__all__ = [
    "Course",
    "Owed",
    "courses",
    "lapse_all_past",
    "note_call",
    "nudge",
    "nudge_all_due",
    "owed",
    "pause",
    "resume",
]
