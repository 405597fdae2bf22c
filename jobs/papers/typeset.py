"""Sets a document as an archival PDF by Typst: what people wrote goes in as data, never as markup.

The files say that they are PDF/A-3a (ISO 19005-3, level A: tagged, Unicode, with attachments) and PDF/UA-1 (ISO 14289-1). The same input
gives the same bytes: the date comes with the input, and only the faces inside the compiler's own wheel are used. The templates import no
packages and the compiler is given nowhere to keep any, so that nothing is fetched.
"""

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from types import MappingProxyType
from typing import Any

from jobs.papers.writable import is_plain, throughout, tidy, writable

FOLDER = Path(__file__).resolve().parents[2] / "templates" / "documents"
STANDARDS = ["a-3a", "ua-1"]
NOTHING: Mapping[str, bytes] = MappingProxyType({})
_NO_FOLDER = FOLDER / "no-packages"  # does not exist
MIME = {".json": "application/json", ".txt": "text/plain", ".xml": "text/xml", ".pdf": "application/pdf"}


class CannotSet(RuntimeError):
    """The typesetter refused the document; the message is its own."""


def typeset(
    template: str,
    told: dict[str, Any],
    pictures: Mapping[str, bytes] = NOTHING,
    attached: Mapping[str, bytes] = NOTHING,
    language: str = "en",
) -> bytes:
    """Set templates/documents/<template>.typ with `told`, plain values as answering.content or warranting.content makes them.

    `told` needs "title" and "made_at" (ISO 8601), which becomes the file's own date. `pictures` are image files that `told` names;
    `attached` files go into the PDF byte for byte. `language` is a tag such as "en-gb". Safe to call from several threads.
    Raises CannotSet, ValueError for a date that is none, KeyError for a template that is none.
    """
    sources = _sources()
    at = _moment(told["made_at"])
    about = _about(told, at, attached, language)
    main = {"main.typ": sources[f"{template}.typ"], "house.typ": sources["house.typ"]}
    with _laid_out({"pictures": pictures, "attached": attached}) as root:
        try:
            return _compile(main, _data(told, about, writable), at, root)
        except CannotSet:
            # Signs that have a shape each may have none together; without accents and other scripts nothing can combine.
            plain = _data(told, about, lambda text: writable(text, is_plain))
            return _compile(main, plain, at, root)


@contextmanager
def _laid_out(folders: Mapping[str, Mapping[str, bytes]]) -> Iterator[Path]:
    """A folder with the files, which is all that the document can read; the compiler takes only text from memory."""
    with TemporaryDirectory(prefix="benchletter-paper-") as made:
        root = Path(made)
        for folder, files in folders.items():
            (root / folder).mkdir()
            for name, data in files.items():
                (root / folder / _plain(name)).write_bytes(data)
        yield root


def _data(told: dict[str, Any], about: dict[str, Any], write: Callable[[str], str]) -> bytes:
    written = throughout(told, write)
    return json.dumps(written | {"file": about | {"named": written != throughout(told, tidy)}}).encode()


def _compile(files: dict[str, bytes], data: bytes, at: datetime, root: Path) -> bytes:
    import typst  # here, so that a process which sets nothing does not load it

    source: Any = {**files, "told.json": data}  # the wheel's types do not say that it takes files from memory
    try:
        compiler = typst.Compiler(
            source,
            root=root,
            font_paths=_faces(),
            ignore_system_fonts=True,
            package_path=_NO_FOLDER,
            package_cache_path=_NO_FOLDER,
        )
        made: Any = compiler.compile(format="pdf", pdf_standards=_standards(), timestamp=at)
    except typst.TypstError as error:
        raise CannotSet(error.diagnostic or error.message) from error
    except BaseException as error:
        if (
            type(error).__name__ != "PanicException"
        ):  # how a panic in the compiler arrives: not as an Exception
            raise
        raise CannotSet(str(error)) from error
    return bytes(made)


def _standards() -> Any:
    return list(STANDARDS)


@cache
def _faces() -> Any:
    """The faces inside the wheel and no others, read once; they do not change, so that threads may share them."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True)


@cache
def _sources() -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in sorted(FOLDER.glob("*.typ"))}


def _about(
    told: dict[str, Any], at: datetime, attached: Mapping[str, bytes], language: str
) -> dict[str, Any]:
    """What the template needs to know of the file itself."""
    tongue, _, region = language.lower().replace("_", "-").partition("-")
    return {
        "title": writable(told["title"]),
        "at": [at.year, at.month, at.day, at.hour, at.minute, at.second],
        "lang": tongue,
        "region": region if len(region) == 2 else None,
        "attached": [
            {"name": name, "mime": MIME.get(Path(name).suffix, "application/octet-stream")}
            for name in sorted(attached)
        ],
    }


def _moment(iso: str) -> datetime:
    at = datetime.fromisoformat(iso)
    return (at if at.tzinfo else at.replace(tzinfo=UTC)).astimezone(UTC)


def _plain(name: str) -> str:
    if name != Path(name).name or name in ("", ".", ".."):
        raise ValueError(name)
    return name
