#!/usr/bin/env python3
"""Checks exported evidence, with nothing but Python's standard library (3.8 or newer).

    python3 verify.py                  in the folder that the zip was unpacked into
    python3 verify.py evidence.zip     without unpacking

Every fingerprint is worked out again from the bytes that are here. Exit 0: all of it holds. Exit 1: it does not, and the first break
is named.
"""

from __future__ import annotations

import hashlib
import json
import re
import sys
import zipfile
from pathlib import Path
from typing import Any

SUMS = "SHA256SUMS"
SUM_LINE = re.compile(r"([0-9a-f]{64})  ([A-Za-z0-9][A-Za-z0-9._-]*(?:/[A-Za-z0-9][A-Za-z0-9._-]*)*)")
ABOUT = {"README.txt", "verify.py", "journal.jsonl"}  # what the journal does not name
IN_BOTH = ("way", "name", "sentence", "gross", "highest", "ceiling", "currency")


class Break(Exception):
    """Something is not what it was."""


class Evidence:
    """The files by their names, and which of them the journal has named so far."""

    def __init__(self, files: dict[str, bytes]) -> None:
        self.files = files
        self.named: set[str] = set()

    def must_be(self, name: str, fingerprint: str, said_by: str) -> bytes:
        """The file of that name, if it is the one that is meant."""
        if name not in self.files:
            raise Break(f"{name} is missing, which {said_by} names")
        if sha256(self.files[name]) != fingerprint:
            raise Break(f"{name} is not the one that {said_by} names")
        self.named.add(name)
        return self.files[name]


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def read(place: Path) -> dict[str, bytes]:
    """Every file, by its name inside the export."""
    if place.is_dir():
        files = [file for file in sorted(place.rglob("*")) if file.is_file()]
        return {file.relative_to(place).as_posix(): file.read_bytes() for file in files}
    with zipfile.ZipFile(str(place)) as packed:
        return {info.filename: packed.read(info) for info in packed.infolist() if not info.is_dir()}


def check_sums(evidence: Evidence) -> None:
    files = evidence.files
    if SUMS not in files:
        raise Break(f"{SUMS} is missing")
    text = files[SUMS].decode("ascii", "replace")
    if not text.endswith("\n"):
        raise Break(f"{SUMS}: its end is missing")
    listed = {}
    for number, line in enumerate(text.split("\n")[:-1], 1):
        match = SUM_LINE.fullmatch(line)
        if not match:
            raise Break(f"{SUMS}: line {number} cannot be read")
        listed[match.group(2)] = match.group(1)
    for name, fingerprint in listed.items():
        if name not in files:
            raise Break(f"{name} is missing")
        if sha256(files[name]) != fingerprint:
            raise Break(f"{name} is not what it was when it was exported")
    for name in sorted(set(files) - set(listed) - {SUMS}):
        raise Break(f"{name} does not belong here")
    print(f"{len(listed)} files are as they were exported.")


def check_chain(evidence: Evidence) -> list[dict[str, Any]]:
    """The journal: each line is one entry, and holds the SHA-256 of the line before. Adds each entry's own as "hash"."""
    entries: list[dict[str, Any]] = []
    prev = ""
    for number, line in enumerate(evidence.files["journal.jsonl"].split(b"\n")[:-1], 1):
        entry = json.loads(line)
        if entry["seq"] != number:
            raise Break(f"journal: entry {number} is missing")
        if entry["prev"] != prev:
            raise Break(f"journal: entry {number} does not follow the one before")
        prev = sha256(line)
        entries.append({**entry, "hash": prev})
    if not entries:
        raise Break("journal: it is empty")
    print(
        f"The journal of job {entries[0]['job']} is whole: {len(entries)} entries, each holding on to the one before."
    )
    return entries


def check_offer(evidence: Evidence, entry: dict[str, Any]) -> None:
    n = entry["data"]["quote"]
    name = f"quotes/quote-{n}.shown.json"
    shown = json.loads(evidence.must_be(name, entry["data"]["hash"], f"entry {entry['seq']}"))
    if (shown["job"], shown["quote"]) != (entry["job"], n):
        raise Break(f"{name} is about another quote")
    print(f"Quote {n} is as it was sent on {entry['at'][:10]} (entry {entry['seq']}).")


def check_answer(evidence: Evidence, entry: dict[str, Any]) -> None:
    told, said_by = entry["data"], f"entry {entry['seq']}"
    n = told["quote"]
    evidence.must_be(f"quotes/quote-{n}.shown.json", told["hash"], said_by)
    if told.get("record"):
        name = f"answers/quote-{n}.record.json"
        check_record(evidence, entry, json.loads(evidence.must_be(name, told["record"], said_by)), name)
    how = (
        "BY TELEPHONE (noted by the workshop; nobody signed)" if told["way"] == "telephone" else "on the page"
    )
    print(f"Quote {n} was answered {how}, by {told['name']}, on {entry['at'][:10]} (entry {entry['seq']}).")
    print(f"    Fingerprint of the quote:   {told['hash']}")
    print(f"    Fingerprint of the journal: {entry['hash']}")


def check_record(evidence: Evidence, entry: dict[str, Any], record: dict[str, Any], name: str) -> None:
    told = entry["data"]
    if (record["shown"], record["job"], record["quote"]) != (told["hash"], entry["job"], told["quote"]):
        raise Break(f"{name} is about another quote")
    for key in IN_BOTH:
        if key in told and record[key] != told[key]:
            raise Break(f"{name}: its “{key}” is not what the journal says")
    if sorted(record["choices"]) != sorted(told["choices"]):
        raise Break(f"{name}: its choices are not what the journal says")
    if record["page"]:
        evidence.must_be(f"answers/quote-{record['quote']}.page.html", record["page"], name)


def check_paper(evidence: Evidence, entry: dict[str, Any]) -> None:
    told = entry["data"]
    name = f"papers/{told['kind']}-{told['sha256'][:16]}.pdf"
    evidence.must_be(name, told["sha256"], f"entry {entry['seq']}")
    print(f"{name} is the document that was made on {entry['at'][:10]} (entry {entry['seq']}).")
    print(f"    Fingerprint: {told['sha256']}")


def check_photographs(evidence: Evidence) -> None:
    """Each bears its own SHA-256 as its name. One that the workshop did not have any more is not here, and is counted."""
    wanted: set[str] = set()
    for name in sorted(evidence.files):
        if name.startswith("quotes/"):
            for finding in findings_of(json.loads(evidence.files[name])["lines"]):
                wanted.update(finding.get("photos", ()))
    here = [digest for digest in sorted(wanted) if f"photographs/{digest}.jpg" in evidence.files]
    for digest in here:
        evidence.must_be(f"photographs/{digest}.jpg", digest, "its own name")
    if wanted:
        print(f"{len(here)} of the {len(wanted)} photographs that were shown are here, and are the ones.")


def findings_of(lines: list[dict[str, Any]]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for line in lines:
        found += line.get("findings", [])
        for outcome in line.get("outcomes", []):
            found += findings_of(outcome.get("follow_ons", []))
    return found


CHECKS = {"quote_sent": check_offer, "decided": check_answer, "paper": check_paper}


def check(place: Path) -> None:
    evidence = Evidence(read(place))
    check_sums(evidence)
    entries = check_chain(evidence)
    for entry in entries:
        if entry["kind"] in CHECKS:
            CHECKS[entry["kind"]](evidence, entry)
    check_photographs(evidence)
    for name in sorted(set(evidence.files) - evidence.named - ABOUT - {SUMS}):
        raise Break(f"{name} is named nowhere in the journal")
    print(f"\nThe last entry, {entries[-1]['seq']}, has the fingerprint {entries[-1]['hash']}")
    print("Compare the fingerprints with those in the letters that both sides got.")


def main(arguments: list[str]) -> int:
    place = Path(arguments[0]) if arguments else Path(__file__).resolve().parent
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(encoding="utf-8", errors="replace")
    try:
        check(place)
    except Break as broken:
        print(f"NOT WHOLE: {broken}.")
        return 1
    except Exception as error:  # whatever was changed, it says so instead of showing a program's insides
        print(f"NOT WHOLE: it cannot be read ({type(error).__name__}: {error}).")
        return 1
    print("All of it holds.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
