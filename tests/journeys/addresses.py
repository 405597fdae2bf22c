"""Every address of the workshop that shows a page, one of each pattern, and who opens it.

The list is held to the project's own list of addresses by a test, so that no page is forgotten.
"""

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

# Patterns with nothing to look at, and why.
NO_PAGE = {
    "healthz": "for a monitor",
    "mail_hook": "for a mail provider",
    "photo": "a photograph",
    "my_news": "a part of a page",
    "my_total": "takes a form",
    "my_language": "takes a form",
    "choose_language": "takes a form",
    "my_notices": "takes a form",
    "push_worker": "a script",
    "my_posted": "takes a form",
    "my_claim": "takes a form",
    "my_covered": "takes a form",
    "my_reminder": "takes a form",
    "my_warranty_pdf": "a document",
    "my_quote_pdf": "a document",
    "bench_answer_pdf": "a document",
    "office_evidence": "a file to take away",
    "new_link": "takes a form",
    "forget_device": "takes a form",
    "logout": "takes a form",
    "open_link": "goes on to the job",
    "first_run": "only in an empty workshop: the whole journey begins there",
    "booked": "only who has just booked: the whole journey looks at it",
    "settled": "only who has just settled it: the journey before posting looks at it",
    "letterbox_take_text": "for the demo’s gateway",
    "letterbox_take_notice": "for the demo’s push service",
    "letterbox_html": "a letter, seen inside letterbox_mail",
    "letterbox_attached": "a document",
    "letterbox_answer": "takes a form",
    "office_letter_html": "a letter, seen inside office_letter",
    "office_words_letter": "a letter, seen inside office_words_of",
    "bench_explanations": "a part of a page",
    "bench_photos": "takes a form",
    "bench_write_up": "takes a form",
    "bench_photo": "a part of a page",
    "bench_finding_drop": "takes a form",
    "bench_examine": "takes a form",
    "bench_quote_line_out": "takes a form",
    "bench_quote_drop": "takes a form",
    "bench_tried": "takes a form",
    "bench_final_price": "takes a form",
    "bench_ask_no_more": "takes a form",
    "my_answer": "takes a form",
    "bench_quote_back": "takes a form",
    "bench_quote_renew": "takes a form",
    "bench_work": "takes a form",
    "bench_part_came": "takes a form",
    "bench_prove": "takes a form",
    "office_release": "takes a form",
    "office_call": "takes a form",
    "office_address": "takes a form",
    "office_nudge": "takes a form",
    "office_take_up": "takes a form",
    "office_owed_file": "a file to take away",
    "office_renew": "takes a form",
    "office_link": "takes a form",
    "office_resend": "takes a form",
    "office_mailbox": "takes a form",
    "office_again": "takes a form",
    "office_incoming_file": "a file to take away",
    "office_incoming_take": "takes a form",
    "office_incoming_seen": "takes a form",
    "office_tax_rate": "takes a form",
    "office_warranty_term": "takes a form",
    "office_password": "takes a form",
    "office_role": "takes a form",
    "office_access": "takes a form",
}
STAGES = (
    "expected",
    "arrived",
    "examining",
    "quoted",
    "agreed",
    "awaiting_part",
    "in_work",
    "proving",
    "ready",
    "returned",
    "withdrawn",
)


EXPLAINED = "t.state = 'posted' AND t.explanation <> ''"


@dataclass
class Rows:
    """Looks into the running workshop's database, without changing it."""

    database: Path

    def one(self, question: str, *values: Any) -> Any:
        """The first row's only column, or the first row where there are several."""
        with closing(sqlite3.connect(f"file:{self.database}?mode=ro", uri=True)) as rows:
            row = rows.execute(question, values).fetchone()
        assert row, f"the demo has nothing for {question} {values}"
        return row[0] if len(row) == 1 else row

    def ref(self, stage: str) -> str:
        """The job at this stage about which most is written."""
        return str(self.one("SELECT ref FROM jobs_job WHERE stage = ? ORDER BY last_seq DESC", stage))

    def of(self, table: str, ref: str, where: str = "1") -> Any:
        """The number of a row that belongs to a job."""
        return self.one(
            f"SELECT t.id FROM {table} t JOIN jobs_job j ON j.id = t.job_id WHERE j.ref = ? AND {where}", ref
        )


def anybody(rows: Rows) -> dict[str, str]:
    return {
        "home": "/",
        "book": "/book/",
        "library": "/library/",
        "library_entry": "/library/lens/haze-inside/",
        "find": "/find/",
        "link_asked": "/asked/",
        "check_document": "/check/",
        "login": "/staff/",
        "letterbox": "/letterbox/",
        "letterbox_texts": "/letterbox/texts/",
    }


def customer(rows: Rows) -> dict[str, str]:
    """What the three customers of the demo see whose links the terminal shows."""
    quoted, home = (_job_of(rows, name) for name in ("Orla Fennimore", "Cosmo Penhallow"))
    uid = "SELECT p.uid FROM jobs_photo p JOIN jobs_job j ON j.id = p.job_id WHERE j.ref = ? AND p.finding_id IS NOT NULL"
    return {
        "my": f"/my/{quoted}/",
        "my_quote": f"/my/{quoted}/quote/",
        "my_questions": f"/my/{quoted}/questions/",
        "my_settings": f"/my/{quoted}/settings/",
        "my_leave": f"/my/{quoted}/leave/",
        "my_photo": f"/my/{quoted}/photo/{UUID(rows.one(uid, quoted))}/",
        "my_explained": f"/my/{quoted}/explained/{rows.of('jobs_finding', quoted, EXPLAINED)}/",
        "my_warranty": f"/my/{home}/warranty/",
        "my, home": f"/my/{home}/",
        "my, ready": f"/my/{_job_of(rows, 'Wilhelmina Ash')}/",
    }


def technician(rows: Rows) -> dict[str, str]:
    quoted, examining = rows.ref("quoted"), rows.ref("examining")
    asked = rows.one(
        "SELECT j.ref, q.id FROM jobs_question q JOIN jobs_job j ON j.id = q.job_id WHERE q.answered_at IS NULL"
    )
    enquired = rows.one(
        "SELECT j.ref, e.id FROM jobs_enquiry e JOIN jobs_job j ON j.id = e.job_id"
        " WHERE e.answered_at IS NULL AND e.dropped_at IS NULL"
    )
    finding = rows.of("jobs_finding", quoted, "t.state = 'posted'")
    tried = rows.one(
        "SELECT j.ref, t.line_id FROM jobs_tried t JOIN jobs_line l ON l.id = t.line_id"
        " JOIN jobs_quote q ON q.id = l.quote_id JOIN jobs_job j ON j.id = q.job_id"
    )
    paid = rows.one(
        "SELECT j.ref, p.id FROM jobs_payment p JOIN jobs_job j ON j.id = p.job_id WHERE p.reverses_id IS NULL"
    )
    written = f"/library/{rows.one('SELECT key FROM jobs_explanationversion ORDER BY id')}"
    return {
        "library, for the bench": "/library/",
        "library, found": "/library/?look=lever+sticks+half+way",
        "library_entry, for the bench": "/library/lens/haze-inside/",
        "library_new": "/library/new/",
        "library_edit": "/library/lens/haze-inside/edit/",
        "library_edit, a draft to mend": f"{written}/edit/?checked",
        "library_history": f"{written}/history/",
        "library_version": f"{written}/history/1/",
        "library_back": f"{written}/back/",
        "bench": "/bench/",
        "bench, found": "/bench/?q=corvane",
        **{f"bench_job, {stage}": f"/bench/{rows.ref(stage)}/" for stage in STAGES},
        "bench_arrival": f"/bench/{rows.ref('expected')}/arrival/",
        "bench_finding_new": f"/bench/{examining}/findings/new/",
        "bench_finding": f"/bench/{quoted}/findings/{finding}/",
        "bench_finding_back": f"/bench/{quoted}/findings/{finding}/take-back/",
        "bench_story": f"/bench/{examining}/story/",
        "bench_answer": f"/bench/{asked[0]}/questions/{asked[1]}/",
        "bench_ask_them": f"/bench/{examining}/ask/",
        "bench_they_said": "/bench/{}/asked/{}/".format(*enquired),
        "bench_promise": f"/bench/{rows.ref('arrived')}/dates/",
        "bench_quote": f"/bench/{examining}/quote/",
        "bench_call": f"/bench/{quoted}/quote/telephone/",
        "bench_part": f"/bench/{rows.ref('agreed')}/part/",
        "bench_claim": f"/bench/{examining}/claim/",
        "bench_nothing": f"/bench/{examining}/nothing/",
        "bench_times": f"/bench/{rows.ref('in_work')}/times/",
        "bench_proving": f"/bench/{rows.ref('proving')}/proving/",
        "bench_results": f"/bench/{rows.ref('proving')}/results/",
        "bench_payments": f"/bench/{rows.ref('ready')}/payments/",
        "bench_tried_undo": "/bench/{}/lines/{}/tried/undo/".format(*tried),
        "bench_payment_undo": "/bench/{}/payments/{}/".format(*paid),
        "bench_send_back": f"/bench/{rows.ref('ready')}/send-back/",
        "bench_delivered": f"/bench/{rows.ref('returned')}/delivered/",
        "bench_withdraw": f"/bench/{examining}/end/",
        "password": "/staff/password/",
    }


def owner(rows: Rows) -> dict[str, str]:
    letter = rows.one(
        "SELECT id FROM notifications_letter WHERE state = 'sent' AND html <> '' ORDER BY id DESC"
    )
    return {
        "office": "/office/",
        "office, promises": "/office/?show=promises",
        "office, money": "/office/?show=money",
        "office, found": "/office/?find=corvane",
        "office_job": f"/office/{rows.ref('quoted')}/",
        "office_owed": "/office/owed/",
        "office_owed, ordered": "/office/owed/?order=next&about=quote",
        "office_ring": f"/office/{rows.ref('quoted')}/ring/",
        "office_put_off": f"/office/{rows.ref('quoted')}/put-off/",
        "office_letters": "/office/letters/",
        "office_letters, trouble": "/office/letters/?show=trouble",
        "office_letter": f"/office/letters/{letter}/",
        "office_comebacks": "/office/comebacks/",
        "office_incoming": "/office/incoming/",
        "office_incoming, automatic": "/office/incoming/?show=robots",
        "office_reply_box": "/office/settings/replies/",
        "office_settings": "/office/settings/",
        "office_hours": "/office/settings/hours/",
        "office_nudges": "/office/settings/nudges/",
        "office_words": "/office/settings/words/",
        "office_words_of": "/office/settings/words/ready/en-gb/",
        "office_texts": "/office/settings/texts/",
        "office_staff": "/office/staff/",
        **{f"my, {stage}": f"/my/{rows.ref(stage)}/" for stage in STAGES},
    }


def _job_of(rows: Rows, name: str) -> str:
    owned = "SELECT j.ref FROM jobs_job j JOIN jobs_customer c ON c.id = j.customer_id WHERE c.name = ? ORDER BY j.id"
    return str(rows.one(owned, name))
