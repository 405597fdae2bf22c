"""The timetable of the one beat process.

Static on purpose: nobody has to edit it, and a timetable in the database starts tasks in surprising moments. Each task
can run twice or not at all without harm; `expires` lets a backlog evaporate instead of arriving in a burst.
"""

from typing import Any

MINUTE = 60.0
HOUR = 60 * MINUTE
QUEUES = ("notify", "media")


def every(seconds: float, task: str, *args: object, queue: str = "notify") -> dict[str, Any]:
    """One row of the timetable: the task's name, how often in seconds, where it queues, and when it goes stale."""
    return {
        "task": task,
        "schedule": seconds,
        "args": args,
        "options": {"queue": queue, "expires": max(seconds - 5, 5)},
    }


TIMETABLE: dict[str, dict[str, Any]] = {
    "letters-left-lying": every(10, "notifications.sweep"),
    "nudges-due": every(10 * MINUTE, "notifications.nudge_due"),
    "what-is-owed": every(HOUR, "notifications.reckon_owings"),
    "quotes-past-their-day": every(10 * MINUTE, "notifications.lapse_quotes"),
    "warranties-that-end": every(HOUR, "notifications.remind_of_ends"),
    "replies-in-the-box": every(MINUTE, "notifications.look_for_replies"),
    "letters-in-to-forget": every(HOUR, "notifications.forget_letters_in"),
    "pulse-notify": every(MINUTE, "portal.pulse", "notify", queue="notify"),
    "pulse-media": every(MINUTE, "portal.pulse", "media", queue="media"),
    "photographs-left-waiting": every(MINUTE, "jobs.sweep_photos", queue="media"),
    "uploads-never-booked": every(HOUR, "jobs.forget_orphans", queue="media"),
}
