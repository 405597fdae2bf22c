"""Photographs the board of components: `python -m tests.journeys.look_sheet` writes var/shots/look-*.png.

Not a test: it is for looking. Phone and desk, light and dark; forced colours and print once each.
"""

import os
import shutil
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
]
SIZES = {"390": (390, 844), "1280": (1280, 800)}


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *args: object) -> None:
        """Say nothing: the shots are the output."""


def write_pages(folder: Path) -> list[str]:
    from django.conf import settings
    from PIL import Image

    from tests.portal.look.board import pages

    static = folder / settings.STATIC_URL.strip("/")
    shutil.rmtree(static, ignore_errors=True)
    shutil.copytree(ROOT / "portal/static", static)
    demo = sorted((ROOT / "jobs/demo/photos").glob("*.jpg"))
    if demo:
        shutil.copy(demo[0], folder / "photo.jpg")
    else:
        Image.radial_gradient("L").resize((1200, 900)).save(folder / "photo.jpg")
    written = pages()
    for name, html in written.items():
        (folder / f"{name}.html").write_text(html)
    return list(written)


def shoot(names: list[str], port: int, shots: Path) -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for size, (width, height) in SIZES.items():
            for scheme in ("light", "dark"):
                context = browser.new_context(
                    viewport={"width": width, "height": height}, color_scheme=scheme
                )
                page = context.new_page()
                page.on("pageerror", lambda error: print("script:", error))
                for name in names:
                    page.goto(f"http://127.0.0.1:{port}/{name}.html")
                    if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                        print("scrolls sideways:", name, size)
                    page.screenshot(path=shots / f"look-{name}-{size}-{scheme}.png", full_page=True)
                context.close()
        special(browser, port, shots)
        browser.close()


def special(browser, port: int, shots: Path) -> None:
    """Forced colours, print, the narrowest phone, and 200 % text."""
    forced = browser.new_context(viewport={"width": 390, "height": 844}, forced_colors="active").new_page()
    paper = browser.new_context(viewport={"width": 794, "height": 1123}).new_page()
    narrow = browser.new_context(viewport={"width": 320, "height": 640}).new_page()
    paper.emulate_media(media="print")
    for name in ("customer", "quote", "forms", "bench", "warranty"):
        for page, kind in ((forced, "forced"), (paper, "print"), (narrow, "320")):
            page.goto(f"http://127.0.0.1:{port}/{name}.html")
            page.screenshot(path=shots / f"look-{name}-{kind}.png", full_page=True)
            if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                print("scrolls sideways:", name, kind)


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
    import django

    django.setup()
    folder, shots = ROOT / "var/look", ROOT / "var/shots"
    folder.mkdir(parents=True, exist_ok=True)
    shots.mkdir(parents=True, exist_ok=True)
    names = write_pages(folder)
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    shoot(names, server.server_port, shots)
    server.shutdown()


if __name__ == "__main__":
    main()
