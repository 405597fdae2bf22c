"""The allowed moves of a job, who holds it at each stage, and what the customer reads there: data, no rules elsewhere.

DEVELOPERS.md draws MOVES as a diagram; a test keeps the two alike.
"""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.words import Holder, Stage

MOVES: dict[Stage, frozenset[Stage]] = {
    Stage.EXPECTED: frozenset({Stage.ARRIVED, Stage.WITHDRAWN}),
    Stage.ARRIVED: frozenset({Stage.EXAMINING, Stage.WITHDRAWN}),
    # Straight to agreed: warranty work. Straight to ready: nothing was broken.
    Stage.EXAMINING: frozenset({Stage.QUOTED, Stage.AGREED, Stage.READY, Stage.WITHDRAWN}),
    # Back to examining: a new quote is being written; straight to quoted is a quote that replaces one.
    Stage.QUOTED: frozenset({Stage.EXAMINING, Stage.AGREED, Stage.WITHDRAWN}),
    Stage.AGREED: frozenset({Stage.AWAITING_PART, Stage.IN_WORK, Stage.WITHDRAWN}),
    Stage.AWAITING_PART: frozenset({Stage.AGREED, Stage.IN_WORK, Stage.WITHDRAWN}),
    Stage.IN_WORK: frozenset({Stage.AWAITING_PART, Stage.PROVING}),
    Stage.PROVING: frozenset({Stage.IN_WORK, Stage.READY}),
    Stage.READY: frozenset({Stage.PROVING, Stage.RETURNED}),
    Stage.RETURNED: frozenset(),
    Stage.WITHDRAWN: frozenset(),
}

HOLDERS: dict[Stage, Holder] = {
    Stage.EXPECTED: Holder.CUSTOMER,
    Stage.ARRIVED: Holder.WORKSHOP,
    Stage.EXAMINING: Holder.WORKSHOP,
    Stage.QUOTED: Holder.CUSTOMER,
    Stage.AGREED: Holder.WORKSHOP,
    Stage.AWAITING_PART: Holder.SUPPLIER,
    Stage.IN_WORK: Holder.WORKSHOP,
    Stage.PROVING: Holder.WORKSHOP,
    # Ready and withdrawn depend on how the item goes home; see `jobs.actions.moving.move`.
    Stage.READY: Holder.WORKSHOP,
    Stage.RETURNED: Holder.NOBODY,
    Stage.WITHDRAWN: Holder.NOBODY,
}

# Agreed work may show more: a supplementary quote.
MAY_SUPPLEMENT = frozenset({Stage.AGREED, Stage.AWAITING_PART, Stage.IN_WORK, Stage.PROVING})
# Work of ours that can wait for the customer's word: a supplementary quote, or an answer to our question.
MAY_WAIT_FOR_WORD = MAY_SUPPLEMENT | {Stage.ARRIVED, Stage.EXAMINING}
BEFORE_ARRIVAL = frozenset({Stage.EXPECTED})
MAY_POST_FINDINGS = frozenset(
    {Stage.EXAMINING, Stage.QUOTED, Stage.AGREED, Stage.AWAITING_PART, Stage.IN_WORK, Stage.PROVING}
)
MAY_WITHDRAW = frozenset(stage for stage, onward in MOVES.items() if Stage.WITHDRAWN in onward)
AGREED_AND_NOT_EARNED = frozenset({Stage.AGREED, Stage.AWAITING_PART, Stage.IN_WORK, Stage.PROVING})
ON_THE_BENCH = frozenset(
    {
        Stage.EXPECTED,
        Stage.ARRIVED,
        Stage.EXAMINING,
        Stage.QUOTED,
        Stage.AGREED,
        Stage.AWAITING_PART,
        Stage.IN_WORK,
        Stage.PROVING,
        Stage.READY,
    }
)
TO_LEAVE = frozenset({Stage.READY, Stage.WITHDRAWN})  # what is here then goes home: by post, or fetched
OVER = frozenset({Stage.RETURNED, Stage.WITHDRAWN})

# What the customer reads: whose move it is, by holder ...
MOVE_WORDS: dict[Holder, Promise] = {
    Holder.CUSTOMER: _("It is your move, %(called)s."),
    Holder.WORKSHOP: _("It is our move."),
    Holder.SUPPLIER: _("We wait for a part."),
    Holder.CARRIER: _("It is in the post."),
    Holder.NOBODY: _("All done. Nothing to do."),
}

# ... and what happens next, by stage and holder. At most two short sentences.
NEXT_WORDS: dict[tuple[Stage, Holder], Promise] = {
    (Stage.EXPECTED, Holder.CUSTOMER): _("Pack it well and send it to us. We write as soon as it is here."),
    (Stage.EXPECTED, Holder.CARRIER): _("You have posted it. We write as soon as it is here."),
    (Stage.ARRIVED, Holder.WORKSHOP): _("It is here and safe. Next we examine it."),
    (Stage.ARRIVED, Holder.CUSTOMER): _(
        "It is here and safe. Before we examine it, we need a word from you."
    ),
    (Stage.EXAMINING, Holder.CUSTOMER): _("It is being examined. To go on, we need a word from you."),
    (Stage.EXAMINING, Holder.WORKSHOP): _("It is being examined. Then you get what we found, and a quote."),
    (Stage.QUOTED, Holder.CUSTOMER): _(
        "We know what it needs. Once you answer the quote, it goes on the bench."
    ),
    (Stage.AGREED, Holder.WORKSHOP): _("You have agreed the work. It waits for its turn on the bench."),
    (Stage.AGREED, Holder.CUSTOMER): _("You have agreed the work. It begins as soon as we hear from you."),
    (Stage.AWAITING_PART, Holder.CUSTOMER): _("A part is on its way. Beside it we need an answer from you."),
    (Stage.IN_WORK, Holder.CUSTOMER): _("The work shows more than we knew. It goes on once you answer."),
    (Stage.PROVING, Holder.CUSTOMER): _("Testing shows more than we knew. It goes on once you answer."),
    (Stage.AWAITING_PART, Holder.SUPPLIER): _("The work goes on as soon as the part is here."),
    (Stage.IN_WORK, Holder.WORKSHOP): _(
        "It is on the bench now. After the work we prove it: run it and measure it."
    ),
    (Stage.PROVING, Holder.WORKSHOP): _(
        "The work is done. Now we run it and measure it before it goes home."
    ),
    (Stage.READY, Holder.WORKSHOP): _("It is ready. We pack it and send it home to you."),
    (Stage.READY, Holder.CUSTOMER): _("It is ready for you to collect."),
    (Stage.RETURNED, Holder.CARRIER): _("It is on its way home to you."),
    (Stage.RETURNED, Holder.NOBODY): _("It is home. Your warranty says what we stand by, and for how long."),
    (Stage.WITHDRAWN, Holder.WORKSHOP): _("It goes back to you as it is. Next we pack it."),
    (Stage.WITHDRAWN, Holder.CUSTOMER): _("It goes back to you as it is. It is here for you to collect."),
    (Stage.WITHDRAWN, Holder.CARRIER): _("It is on its way back to you, as it is."),
    (Stage.WITHDRAWN, Holder.NOBODY): _("This job has ended without repair."),
}

# Ready to be posted, and not paid.
PAY_WORDS = _("It is ready. Once it is paid, we send it home to you.")
# Unrepaired, to be posted, and something is owed for it.
PAY_TO_LEAVE_WORDS = _("It goes back to you as it is. Once it is paid, we send it.")
# Our question waits, and the work with it.
ENQUIRY_WORDS = _("We have asked you something. It goes on once you answer.")
# A claim that is done at no charge: nobody had anything to agree.
FREE_WORDS = _("We do it at no charge. It waits for its turn on the bench.")
# Agreed, with a deposit that is not here yet.
DEPOSIT_WORDS = _("You have agreed the work. It begins once the deposit is here.")


def may_move(here: Stage, there: Stage) -> bool:
    return there in MOVES[here]
