"""Template filters for the language that a customer reads. `{% load tongues %}`."""

from django import template

from portal.languages import unlike_ours

register = template.Library()
register.filter("other_tongue", unlike_ours)
