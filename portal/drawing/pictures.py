"""A photograph as a page shows it: addresses, size, words, and where its marks go."""

from collections.abc import Mapping
from dataclasses import dataclass

from .marks import WIDE, Marked


@dataclass(frozen=True, slots=True)
class Picture:
    """`width` x `height` in pixels are those of `src`. `alt` says what is to be seen; `large` is the page that shows it alone."""

    src: str
    width: int
    height: int
    alt: str
    caption: str = ""
    srcset: str = ""
    large: str = ""
    marked: Marked | None = None

    @property
    def drawn_height(self) -> int:
        """Height of an overlay that is 1200 units wide."""
        return round(WIDE * self.height / self.width)


def srcset(addresses: Mapping[int, str]) -> str:
    """{400: "/a", 1200: "/b"} -> "/a 400w, /b 1200w"."""
    return ", ".join(f"{address} {width}w" for width, address in sorted(addresses.items()))
