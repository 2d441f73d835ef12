"""What cannot be printed as it is written: found while the book is made, and told like every other finding."""

from __future__ import annotations

from tailboard.findings import Rule, Severity

GLYPH_MISSING = Rule(
    "glyph-missing",
    "paper",
    Severity.WARNING,
    """A sign that no font of the book has.

What it finds: a letter or pictograph in a value of the plan, for which none of the installed fonts has a shape; in its
place a box is printed.
Why it matters: two labels that differ in such signs alone look the same on paper.
Example: the source of line 1 ends in U+1F3A4 MICROPHONE, and no font that has pictographs is installed.
Fix: write it in other signs, or install the font package of that script.
Does not find: a sign that the fonts have and a reader does not know; the pages of `serve`, which use the phone's own fonts.
Source: PDF/A (ISO 19005-2) shows no sign without a glyph; common practice, no source.
""",
)
LABEL_TOO_SMALL = Rule(
    "label-does-not-fit",
    "paper",
    Severity.WARNING,
    """A label whose text does not fit on its stock.

What it finds: a label of a cable, box, port or strip whose names do not fit on the chosen stock in type of 7 pt; it is
printed with what fits, and the rest in the finding.
Why it matters: half a name at a cable's end leads to the wrong hole, and nobody sees that it is half.
Example: a cable whose name has 400 letters, on labels of which 65 go on a sheet (5x13).
Fix: use larger labels (--labels), or shorter names.
Does not find: a label that fits and is too small for the light at its place.
Source: 7 pt is the least size of the book, own choice; common practice, no source.
""",
)
RULES = (GLYPH_MISSING, LABEL_TOO_SMALL)
