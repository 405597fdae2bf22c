"""Inline styles of the letters: mail programs drop style sheets, so each element carries its own.

Colours and faces are those of the pages (the light ones; base.html turns them over for a dark screen). `s.p` in a template.
"""

from django.utils.safestring import SafeString, mark_safe

SERIF = "'Iowan Old Style',Palatino,'Palatino Linotype','Noto Serif',Georgia,serif"
SANS = "-apple-system,'Segoe UI',Roboto,Helvetica,Arial,sans-serif"
INK, SOFT, GROUND, SHEET, RULE, ACCENT = "#1e1b18", "#574f47", "#f2f0ec", "#fdfcfa", "#cdc7be", "#5b2d68"

_STYLES = {
    "ground": f"margin:0;background:{GROUND}",
    "sheet": f"background:{SHEET};color:{INK};padding:32px 44px 36px;font-family:{SERIF};font-size:18px;line-height:1.55",
    "house": f"font-family:{SERIF};font-size:17px;color:{INK}",
    "date": f"font-family:{SANS};font-size:14px;color:{SOFT};white-space:nowrap",
    "rule": f"border-top:1px solid {RULE};font-size:0;line-height:0",
    "lead": f"margin:0 0 16px;font-size:23px;line-height:1.35;font-weight:400;color:{INK}",
    "section": f"margin:0 0 14px;font-size:20px;line-height:1.4;font-weight:400;color:{INK}",
    "when": f"margin:0 0 6px;font-family:{SANS};font-size:14px;color:{SOFT}",
    "p": "margin:0 0 16px",
    "quote": f"margin:0 0 16px;font-style:italic;color:{SOFT}",
    "label": f"margin:26px 0 8px;font-family:{SANS};font-size:15px;font-weight:600;color:{INK}",
    "list": "margin:0 0 16px;padding:0 0 0 22px",
    "item": "margin:0 0 6px",
    "table": "width:100%;border-collapse:collapse;margin:0 0 18px",
    "what": f"padding:8px 16px 8px 0;border-top:1px solid {RULE};vertical-align:top",
    "sum": f"padding:8px 0;border-top:1px solid {RULE};vertical-align:top;text-align:right;white-space:nowrap",
    "total": f"padding:8px 16px 8px 0;border-top:2px solid {INK};vertical-align:top;font-weight:700",
    "total_sum": f"padding:8px 0;border-top:2px solid {INK};vertical-align:top;text-align:right;white-space:nowrap;font-weight:700",
    "note": f"font-family:{SANS};font-size:14px;line-height:1.5;color:{SOFT}",
    "fine": f"margin:0 0 24px;font-family:{SANS};font-size:14px;line-height:1.5;color:{SOFT}",
    "small": f"margin:0 0 10px;font-family:{SANS};font-size:14px;line-height:1.6;color:{SOFT}",
    "hash": "font-family:ui-monospace,Menlo,Consolas,monospace;font-size:13px;line-height:1.5;word-break:break-all",
    "key": f"background:{ACCENT};border-radius:3px",
    "act": f"display:inline-block;padding:14px 24px;font-family:{SANS};font-size:17px;font-weight:600;color:#ffffff;text-decoration:none",
    "figures": f"margin:0 0 16px;font-family:{SANS};font-size:34px;font-weight:600;letter-spacing:.18em;color:{INK}",
    "link": f"color:{ACCENT}",
    "photo": "display:block;width:100%;max-width:472px;height:auto;border:0",
    "drawing": "display:block;width:100%;max-width:360px;height:auto;border:0",
    "sign": f"margin:0;font-style:italic;font-size:20px;color:{INK}",
    "signed": f"margin:0;font-family:{SANS};font-size:14px;line-height:1.5;color:{SOFT}",
}
STYLES: dict[str, SafeString] = {name: mark_safe(style) for name, style in _STYLES.items()}  # noqa: S308 - constants
