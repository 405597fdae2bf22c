"""The words of the trade, as the database keeps them and as people read them.

Labels here are for staff and for lists. What a customer reads about a stage lives in `jobs.stages`.
"""

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy


class Stage(TextChoices):
    """Where a job stands. The allowed moves are in `jobs.stages`."""

    EXPECTED = "expected", _("Expected")
    ARRIVED = "arrived", _("Arrived")
    EXAMINING = "examining", _("Examining")
    QUOTED = "quoted", _("Quoted")
    AGREED = "agreed", _("Agreed")
    AWAITING_PART = "awaiting_part", _("Awaiting part")
    IN_WORK = "in_work", _("In work")
    PROVING = "proving", _("Proving")
    READY = "ready", _("Ready")
    RETURNED = "returned", _("Returned")
    WITHDRAWN = "withdrawn", _("Withdrawn")


class Holder(TextChoices):
    """Whose move it is."""

    CUSTOMER = "customer", _("The customer")
    WORKSHOP = "workshop", _("The workshop")
    SUPPLIER = "supplier", _("A supplier")
    CARRIER = "carrier", _("A carrier")
    NOBODY = "nobody", _("Nobody")


class Certainty(TextChoices):
    """How sure a finding is. A customer is never told a guess as a fact."""

    SEEN = "seen", _("Seen")
    MEASURED = "measured", _("Measured")
    INFERRED = "inferred", _("Inferred")
    UNTRIED = "untried", _("Not known until tried")
    RULED_OUT = "ruled_out", _("Ruled out")


class Bearing(TextChoices):
    """What a finding has to do with the customer's story."""

    EXPLAINS = "explains", _("Explains what you noticed")
    USE = "use", _("Comes from how it was used")
    EARLIER = "earlier", _("Came from an earlier repair attempt")
    SEPARATE = "separate", _("Is separate")
    CLEARS = "clears", _("Clears the suspicion")


class Effect(TextChoices):
    """What a finding does to the camera, worst first: findings are listed in this order."""

    STOPS = "stops", _("Stops it working")
    PICTURES = "pictures", _("Affects pictures")
    WORSENS = "worsens", _("Will get worse")
    LOOKS = "looks", _("Looks only")
    KNOW = "know", _("Good to know")


class Need(TextChoices):
    """How much we urge a line of a quote."""

    NEEDED = "needed", _("Needed")
    ADVISED = "advised", _("Advised")
    OPTIONAL = "optional", _("If you like")


class LineKind(TextChoices):
    """What a line of a quote pays for."""

    WORK = "work", pgettext_lazy("line of a quote", "Work")
    PART = "part", pgettext_lazy("line of a quote", "Part")
    CARRIAGE = "carriage", pgettext_lazy("line of a quote", "Carriage")
    ASSESSMENT = "assessment", pgettext_lazy("line of a quote", "Assessment")


FIXED_KINDS = (LineKind.CARRIAGE, LineKind.ASSESSMENT)  # not chosen: they come with the job


class Mechanism(TextChoices):
    """The part of the camera that a finding or a cover is about."""

    TRANSPORT = "transport", _("Film transport")
    REWIND = "rewind", _("Rewind")
    COUNTER = "counter", _("Frame counter")
    LEAF_SHUTTER = "leaf_shutter", _("Leaf shutter")
    FOCAL_SHUTTER = "focal_shutter", _("Focal-plane shutter")
    SELF_TIMER = "self_timer", _("Self-timer and sync")
    APERTURE = "aperture", _("Aperture")
    LENS = "lens", _("Lens glass")
    FOCUS = "focus", _("Focus")
    RANGEFINDER = "rangefinder", _("Rangefinder")
    FINDER = "finder", _("Viewfinder and mirror")
    METER = "meter", _("Meter and battery")
    SEALS = "seals", _("Light seals and bellows")
    COVERING = "covering", _("Covering and finish")
    BODY = "body", _("Body and door")
    EARLIER_WORK = "earlier_work", _("After an earlier repair attempt")
    ACCIDENT = "accident", _("Drop, water, sand, heat")
    HANDLING = "handling", _("How it was used")


class Trait(TextChoices):
    """What mechanisms an item has; the library prefers explanations that fit."""

    LEAF_SHUTTER = "leaf_shutter", _("Leaf shutter")
    FOCAL_PLANE_SHUTTER = "focal_plane_shutter", _("Focal-plane shutter")
    COUPLED_RANGEFINDER = "coupled_rangefinder", _("Coupled rangefinder")
    REFLEX = "reflex", _("Reflex mirror")
    TWIN_LENS = "twin_lens", _("Two lenses, one above the other")
    FOLDING = "folding", _("Folding")
    BELLOWS = "bellows", _("Bellows")
    FILM_135 = "film_135", _("35 mm film")
    FILM_120 = "film_120", _("120 film")
    LEVER_ADVANCE = "lever_advance", _("Advance lever")
    KNOB_ADVANCE = "knob_advance", _("Advance knob")
    FRAME_COUNTER = "frame_counter", _("Frame counter")
    REWIND_BUTTON = "rewind_button", _("Rewind button")
    SELF_TIMER = "self_timer", _("Self-timer")
    METER_SELENIUM = "meter_selenium", _("Selenium meter")
    METER_CELL = "meter_cell", _("Meter with a battery")
    INTERCHANGEABLE_LENS = "interchangeable_lens", _("Interchangeable lens")
    FIXED_LENS = "fixed_lens", _("Fixed lens")
    STEREO = "stereo", _("Stereo")
    BOX = "box", _("Box camera")


class Opened(TextChoices):
    """Has the item been opened before, as far as the customer knows?"""

    NO = "no", _("No, not that I know")
    YES = "yes", _("Yes, somebody has had it open")
    UNSURE = "unsure", _("I do not know")


class FilmInside(TextChoices):
    NO = "no", _("No")
    YES = "yes", _("Yes, there is film in it")
    UNSURE = "unsure", _("I do not know")


class LookedAnswer(TextChoices):
    """What came of a check that was offered before booking. "That was it" books nothing, so it is no answer of a job."""

    SAME = "same", _("Still the same")
    NOT_TRIED = "not_tried", _("Not tried")


class ReturnBy(TextChoices):
    """How the item goes home."""

    POST = "post", _("By post")
    COLLECT = "collect", _("Collected from the workshop")


class TaxMode(TextChoices):
    NONE = "none", _("No tax is charged")
    ADDED = "added", _("Prices are without tax; tax is added")
    INCLUDED = "included", _("Prices include tax")


class TaxCategory(TextChoices):
    """Categories of UNTDID 5305 that a workshop meets. All but the first have no rate."""

    STANDARD = "S", _("At a rate")
    ZERO = "Z", _("Zero rated")
    EXEMPT = "E", _("Exempt")
    OUTSIDE = "O", _("Outside the scope of tax")


class LeftAs(TextChoices):
    """How an item is left that goes back unrepaired."""

    AS_IT_CAME = "as_it_came", _("Put together, as it came")
    TOGETHER = "together", _("Put together, but not as it came")
    APART = "apart", _("In parts, all of them bagged")


class PaymentKind(TextChoices):
    DEPOSIT = "deposit", _("Deposit")
    PAYMENT = "payment", _("Payment")
    REFUND = "refund", _("Refund")


class PaymentWay(TextChoices):
    """How money changed hands. Cards are taken elsewhere: no number of a card ever comes here."""

    CASH = "cash", _("Cash")
    CARD = "card", _("Card, taken elsewhere")
    TRANSFER = "transfer", _("Bank transfer")
    LINK = "link", _("Payment link")


class Judgement(TextChoices):
    """What the workshop decided about a claim after it had looked."""

    COVERED = "covered", _("Covered")
    GOODWILL = "goodwill", _("Not covered, done at no charge all the same")
    NOT_COVERED = "not_covered", _("Not covered")


class FailedAgain(TextChoices):
    """Whether a claim is about what was mended."""

    SAME = "same", _("The same mechanism failed again")
    RELATED = "related", _("It comes from our work, elsewhere")
    OTHER = "other", _("Something else")
    NOTHING = "nothing", _("Nothing is wrong")


class AgainRule(TextChoices):
    """How long what was mended again under warranty is covered."""

    REST = "rest", _("For the rest of its period")
    MINIMUM = "minimum", _("For the rest of its period, but at least so many months")
    ANEW = "anew", _("Its whole period begins again")


class Owes(TextChoices):
    """What a customer can owe us."""

    QUOTE = "quote", _("an answer to the quote")
    QUESTION = "question", _("an answer to our question")
    PAYMENT = "payment", _("payment")
    COLLECTION = "collection", _("to collect it")


class Tone(TextChoices):
    """How a nudge speaks."""

    KIND = "kind", pgettext_lazy("tone", "kind")
    PLAIN = "plain", pgettext_lazy("tone", "plain")
    LAST = "last", pgettext_lazy("tone", "last")


class Way(TextChoices):
    """How a message reaches a person."""

    EMAIL = "email", _("E-mail")
    TEXT = "text", _("Text message")
    PUSH = "push", _("Notice on their device")
