"""Moved: see notifications.chasing."""

from notifications.chasing import lapse_all_past, note_call, nudge, nudge_all_due

__all__ = ["lapse_all_past", "note_call", "nudge", "nudge_all_due"]
