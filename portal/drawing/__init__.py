"""Where the lines of our drawings go: plain geometry that templates turn into SVG. No ORM, no markup.

Lengths are units of the drawing's own viewBox (one unit is one CSS pixel on a phone). Numbers are rounded to a tenth.
"""
