"""Which questions and answers of a customer came by letter, and what came along with them."""

from collections.abc import Sequence

from jobs.models import Enquiry, Job, Question
from notifications.models import Incoming


def note(job: Job, questions: Sequence[Question], enquiries: Sequence[Enquiry]) -> None:
    """Give each question, and each of ours that was answered, its `letter`: an Incoming, or None. One query where there are any."""
    letters = list(Incoming.objects.filter(job=job)) if questions or enquiries else []
    asked = {letter.question_id: letter for letter in letters}
    answered = {letter.enquiry_id: letter for letter in letters}
    for question in questions:
        question.letter = asked.get(question.pk)
    for enquiry in enquiries:
        enquiry.letter = answered.get(enquiry.pk)
