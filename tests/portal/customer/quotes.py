"""Quotes with everything that a quote can hold, for the tests of its page."""

from jobs.actions import quote
from jobs.actions.quote import Sending
from jobs.actions.quote_lines import LineDraft, OutcomeDraft
from jobs.models import Job, Line, Outcome, Quote
from jobs.quoting import Tax
from jobs.words import Stage
from tests.cast import Cast


def with_branches(cast: Cast, job: Job, seen: tuple[int, int] = (14, 6), **sending: object) -> Quote:
    """Gears 85; haze 38, tried first (gone: rear group 78, or refit 0); slow times up to 60, at least 25; test film 15 with the times;
    covering cloth 42 or leather 78; manual 9 at 5 %; post 12. Pounds, tax included."""
    draft = quote.draft_quote(job)

    def put(kind: str, need: str, title: str, price: int = 0, **more: object) -> Line:
        return quote.put_line(draft, LineDraft(kind, need, title, price, **more))

    gone = OutcomeDraft(
        "The glass has gone",
        6,
        seen=seen[1],
        follow_ons=[
            LineDraft("work", "needed", "Leave it, refit the lens", 0),
            LineDraft("part", "needed", "Fit a sound rear lens group", 7800),
        ],
    )
    put("work", "needed", "Free the winding gears", minutes=85, per_hour=6000)
    put(
        "work",
        "needed",
        "Clean the haze from the lens",
        3800,
        outcomes=[OutcomeDraft("It wipes off", 14, seen=seen[0]), gone],
    )
    times = put("work", "advised", "Clean and set the slow times", 6000, up_to=True, least=2500)
    put("work", "optional", "Test film", 1500, requires=[times])
    put("work", "optional", "Cloth covering", 4200, either=1)
    put("work", "optional", "Leather covering", 7800, either=1)
    put("part", "optional", "A printed manual", 900, tax=Tax("S", 500), months=0)
    put("carriage", "needed", "Insured post home", 1200, months=0)
    return quote.send_quote(draft, cast.technician, sending=Sending(**sending))  # type: ignore[arg-type]


def branched(cast: Cast) -> Quote:
    """The same, of a job of its own."""
    return with_branches(cast, cast.job_at(Stage.EXAMINING))


def supplement(cast: Cast, job: Job, **sending: object) -> Quote:
    """One thing more, for 78."""
    draft = quote.draft_quote(job)
    quote.put_line(draft, LineDraft("part", "needed", "A rear lens group", 7800, "The glass is etched."))
    return quote.send_quote(draft, cast.technician, sending=Sending(**sending))  # type: ignore[arg-type]


def line(sent: Quote, title: str) -> Line:
    return sent.lines.get(title=title)


def way(sent: Quote, title: str) -> Outcome:
    return Outcome.objects.get(line__quote=sent, title=title)


def chosen(sent: Quote, *yes: str, **changed: object) -> dict[str, object]:
    """The form as it is sent when yes was said to these lines and branches, and no to all else; everything else right."""
    form: dict[str, object] = {
        "quote": sent.pk,
        "shown_hash": sent.shown_hash,
        "name": "Orla Fennimore",
        "terms": "on",
    }
    for each in sent.lines.asked():
        if each.is_fixed:
            continue
        if each.either is None:
            form[f"line-{each.pk}"] = "yes" if each.title in yes else "no"
        else:
            form.setdefault(f"either-{each.either}", "none")
            if each.title in yes:
                form[f"either-{each.either}"] = str(each.pk)
        for outcome in each.outcomes.all():
            branches = {branch.title: branch.pk for branch in outcome.follow_ons.all()}
            if branches:
                form[f"turn-{outcome.pk}"] = next(
                    (str(branches[title]) for title in yes if title in branches), "ask"
                )
    return form | changed
