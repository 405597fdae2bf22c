"""The parts of a message (RFC 2045 and RFC 2046) as bytes, put together without looking through them for a boundary.

In quoted-printable "=" is followed by two figures or a line end, and in base 64 it stands at the end: "=_" can be in neither, so a
boundary that begins with it is in no part (RFC 2045 section 6.7). The library builds a tree and reads each part twice more.
"""

from binascii import b2a_qp
from email.message import EmailMessage

from notifications.headers import POLICY

END = b"\r\n"


def words(text: str, subtype: str) -> bytes:
    """Text in UTF-8, as quoted-printable, ending in a line end."""
    lines = text.encode().splitlines()  # of bytes: at \n, \r and \r\n, and nowhere else
    head = f'Content-Type: text/{subtype}; charset="utf-8"\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\n'
    return head.encode() + b2a_qp(END.join(lines) + END)


def enclosed(content: bytes, kind: str, filename: str, content_id: str = "") -> bytes:
    """A document that is attached (RFC 2183), or a picture beside the HTML (RFC 2387), which names it by its Content-ID (RFC 2392)."""
    part = EmailMessage(policy=POLICY)
    maintype, subtype = kind.split("/")
    disposition, cid = ("inline", f"<{content_id}>") if content_id else ("attachment", None)
    part.set_content(content, maintype, subtype, disposition=disposition, filename=filename, cid=cid)
    del part["MIME-Version"]  # a part has none
    return part.as_bytes()


def together(subtype: str, parts: list[bytes]) -> bytes:
    """Several parts as one; a single one stays what it is. Not twice of one subtype inside each other: the boundary would be the same."""
    if len(parts) == 1:
        return parts[0]
    boundary = f"=_{subtype}"
    between = f"\r\n--{boundary}\r\n".encode()
    head = f'Content-Type: multipart/{subtype}; boundary="{boundary}"\r\n'.encode()
    return head + between + between.join(parts) + f"\r\n--{boundary}--\r\n".encode()
