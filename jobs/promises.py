"""A warranty's rows as the promises that `jobs.covering` judges by."""

from jobs.covering import Promise
from jobs.models import Cover, Finding, Warranty


def promises_of(warranty: Warranty) -> list[Promise]:
    """What the warranty promises and leaves out, in its order. What was mended again since runs as long as it runs now."""
    covers = warranty.covers.select_related("line").prefetch_related("line__findings", "goes_on_as")
    return [_promise(cover, warranty) for cover in covers]


def _promise(cover: Cover, warranty: Warranty) -> Promise:
    return Promise(
        pk=cover.pk,
        what=cover.what,
        mechanism=cover.mechanism,
        until=cover.as_it_stands().until,
        why_not=cover.why_not,
        starts_on=warranty.starts_on,
        explanations=_explanations(cover),
    )


def _explanations(cover: Cover) -> frozenset[str]:
    """Keys of the library that the findings behind it used. A correction of a finding is heeded, one taken back is not."""
    found = cover.line.findings.all() if cover.line else []
    keys = {finding.explanation for finding in found if finding.state == Finding.State.POSTED}
    return frozenset({*keys, cover.explanation} - {""})
