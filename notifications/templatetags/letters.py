"""What the letters' templates need beyond Django's own."""

from django import template

from notifications import plaintext

register = template.Library()


@register.filter(is_safe=False)
def quoted(text: str) -> str:
    """Somebody's own words in a plain-text letter, each line after a `>`."""
    return plaintext.quoted(text)


@register.simple_tag
def row(what: object, amount: object) -> str:
    """A line of a list of sums in a plain-text letter."""
    return plaintext.row(str(what), str(amount))


@register.filter(is_safe=False)
def indented(text: str) -> str:
    """Lines that keep their ends (an address) in a plain-text letter."""
    return "\n".join(f"  {line.strip()}" for line in text.splitlines())


@register.filter(is_safe=False)
def paragraphs(text: str) -> str:
    """Somebody's text in a plain-text letter: each line that they ended is a paragraph, so that none runs into the next."""
    return "\n\n".join(line.strip() for line in text.splitlines() if line.strip())
