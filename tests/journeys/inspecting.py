"""What is looked at on every page: whether it can be read, by anybody, on any screen; and what it leaves behind."""

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

# axe-core 4.13, by Deque Systems (MPL 2.0; its licence lies beside it): https://github.com/dequelabs/axe-core
AXE = (Path(__file__).parent / "vendor/axe.min.js").read_text()
AXE_RUN = """only => axe.run(document, {iframes: false, resultTypes: ["violations"], ...(only && {runOnly: only})})
    .then(found => found.violations.flatMap(({id, nodes}) => nodes.map(node => `${id}: ${node.target} ${node.failureSummary}`)))"""
WIDER = """width => [...document.querySelectorAll("body *")]
    .filter(each => each.getBoundingClientRect().right > width && each.checkVisibility())
    .slice(0, 3).map(each => each.outerHTML.slice(0, 120))"""
BARE_PICTURES = """() => [...document.images]
    .filter(each => !each.hasAttribute("alt") || !each.getAttribute("width") || !each.getAttribute("height"))
    .map(each => each.outerHTML.slice(0, 120))"""
# Names that appear twice confuse labels, links and screen readers.
TWICE = """() => { const all = [...document.querySelectorAll("[id]")].map(each => each.id);
    return [...new Set(all.filter((id, n) => all.indexOf(id) !== n))]; }"""


def inspect(page: Page) -> list[str]:
    """Everything that is wrong with the page as it stands: on a phone in light, at a desk in dark."""
    found = [f"kept {kept}" for kept in page.evaluate("() => Object.keys(sessionStorage)")]
    found += [f"picture without size or words: {each}" for each in page.evaluate(BARE_PICTURES)]
    found += [f"the same id twice: {each}" for each in page.evaluate(TWICE)]
    for width in (320, 390):
        page.set_viewport_size({"width": width, "height": 844})
        found += [f"wider than {width}: {each}" for each in sideways(page, width)]
    found += axe(page)
    page.set_viewport_size({"width": 1280, "height": 800})
    page.emulate_media(color_scheme="dark")
    found += [f"at a desk, dark: {each}" for each in sideways(page, 1280) + axe(page)]
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 390, "height": 844})
    return found


def sideways(page: Page, width: int) -> Any:
    """What makes the page wider than its window, if it is."""
    if page.evaluate("document.documentElement.scrollWidth") <= width:
        return []
    return page.evaluate(WIDER, width) or ["something invisible"]


def axe(page: Page, *rules: str) -> Any:
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(AXE)
    return page.evaluate(AXE_RUN, list(rules) or None)


def faults(page: Page) -> list[str]:
    """What axe-core finds in light; and in dark, of what depends on colours."""
    found = list(axe(page))
    page.emulate_media(color_scheme="dark")
    found += [f"dark: {each}" for each in axe(page, "color-contrast", "link-in-text-block")]
    page.emulate_media(color_scheme="light")
    return found
