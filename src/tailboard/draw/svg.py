"""The paper of every picture: texts that know their room, lines in the four signs, boxes; escaped, the same bytes each time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

from tailboard.draw.measure import FONTS, Px, clean, fitted, text_width, wrapped

Point = tuple[Px, Px]

# Widths of the picture, and where a sheet ends: a phone, A4 upright at 96 px an inch (ISO 216), a screen, and what a page
# of the book has within its margins, its head and its foot, on A4 and Letter.
SIZES: dict[str, tuple[int, int]] = {"phone": (390, 0), "paper": (794, 1123), "page": (1200, 0), "book": (700, 850)}
INK, SOFT, ACCENT, PAPER, LANE = "#141414", "#4d4d4d", "#9c1f0c", "#ffffff", "#f3f1ec"
INK_DARK, SOFT_DARK, ACCENT_DARK, PAPER_DARK, LANE_DARK = "#f2f2f2", "#c2c2c2", "#ff9c85", "#121212", "#222120"
WORDS = {"holds": "holds", "holds if": "holds if", "broken": "broken", "open": "open"}
DASHES = {"holds if": "1.5 3.5", "broken": "9 5"}
SMALL, TEXT, NAME, HEAD = 10.0, 11.0, 12.0, 17.0  # sizes of type [px]; 10 px is 7.5 pt on paper
STEP = 16  # from one row to the next [px]
STYLE = (
    f"text{{font-family:{FONTS};fill:{INK}}}.soft{{fill:{SOFT}}}.accent{{fill:{ACCENT}}}.bold{{font-weight:700}}"
    f".paper{{fill:{PAPER}}}.lane{{fill:{LANE}}}.box{{fill:{PAPER};stroke:{INK}}}.line{{stroke:{INK};fill:none}}"
    f".faint{{stroke:{SOFT}}}.hot{{stroke:{ACCENT}}}.core{{stroke:{PAPER};fill:none}}.full{{fill:{INK}}}.hotfull{{fill:{ACCENT}}}"
    "@media screen and (prefers-color-scheme:dark){"
    f"text,.full{{fill:{INK_DARK}}}.soft{{fill:{SOFT_DARK}}}.accent,.hotfull{{fill:{ACCENT_DARK}}}.paper{{fill:{PAPER_DARK}}}"
    f".lane{{fill:{LANE_DARK}}}.box{{fill:{PAPER_DARK};stroke:{INK_DARK}}}.line{{stroke:{INK_DARK}}}"
    f".faint{{stroke:{SOFT_DARK}}}.hot{{stroke:{ACCENT_DARK}}}.core{{stroke:{PAPER_DARK}}}}}"
)


def figure(value: Px) -> str:
    """Return a coordinate in its shortest form."""
    return f"{value:.1f}".removesuffix(".0")


@dataclass(slots=True)
class Canvas:
    """A picture as it grows downwards. Lengths and coordinates are in px from the upper left corner."""

    width: Px
    body: list[str] = field(default_factory=list)
    bottom: Px = 0.0

    def text(
        self,
        at: Point,
        words: str,
        room: Px,
        *,
        size: Px = TEXT,
        tone: str = "",
        bold: bool = False,
        end: bool = False,
    ) -> Px:
        """Write a text with its baseline at a point, in the room it has, and return its width; shortened, it keeps its whole in a title."""
        whole = clean(words)
        shown = fitted(whole, room, size, bold=bold)
        classes = " ".join(name for name in (tone, "bold" if bold else "") if name)
        named = f' class="{classes}"' if classes else ""
        anchor = ' text-anchor="end"' if end else ""
        title = "" if shown == whole else f"<title>{escape(whole)}</title>"
        self.body.append(
            f'<text x="{figure(at[0])}" y="{figure(at[1])}" font-size="{figure(size)}"{anchor}{named}>{title}{escape(shown)}</text>'
        )
        self.bottom = max(self.bottom, at[1] + size / 3)
        return text_width(shown, size, bold=bold)

    def paragraph(self, at: Point, words: str, room: Px, *, size: Px = TEXT, tone: str = "", bold: bool = False) -> Px:
        """Write a text in as many lines as it needs and return the height of the next baseline."""
        x, y = at
        for line in wrapped(clean(words), room, size, bold=bold):
            self.text((x, y), line, room, size=size, tone=tone, bold=bold)
            y += round(size * 1.4)
        return y

    def line(self, points: Sequence[Point], mark: str = "", *, heavy: Px = 1.2, tone: str = "") -> None:
        """Draw a line in the sign of its mark: unbroken, dotted, broken, or hollow for what is open."""
        way = " ".join(f"{figure(x)},{figure(y)}" for x, y in points)
        accent = "hot" if mark == "broken" else tone
        named = f"line {accent}".strip()
        dash = f' stroke-dasharray="{DASHES[mark]}"' if mark in DASHES else ""
        breadth = max(heavy, 4.0) if mark == "open" else heavy
        self.body.append(f'<polyline class="{named}" points="{way}" stroke-width="{figure(breadth)}"{dash}/>')
        if mark == "open":
            self.body.append(f'<polyline class="core" points="{way}" stroke-width="{figure(breadth - 2)}"/>')
        self.bottom = max(self.bottom, *(y for _, y in points))

    def box(self, at: Point, size: tuple[Px, Px], style: str = "box", *, heavy: Px = 1.0, mark: str = "") -> None:
        """Draw a rectangle; a dashed edge for what is broken."""
        dash = f' stroke-dasharray="{DASHES[mark]}"' if mark in DASHES else ""
        stroke = f' stroke-width="{figure(heavy)}"' if "box" in style else ""
        x, y, width, height = (figure(value) for value in (*at, *size))
        self.body.append(f'<rect class="{style}" x="{x}" y="{y}" width="{width}" height="{height}"{stroke}{dash}/>')
        self.bottom = max(self.bottom, at[1] + size[1])

    def ring(self, at: Point, *, full: bool = False) -> None:
        """Draw the end of a line that leads to no device: a ring, or a full dot."""
        style = "full" if full else "box"
        self.body.append(f'<circle class="{style}" cx="{figure(at[0])}" cy="{figure(at[1])}" r="3"/>')

    def begin(self, sort: str, name: str) -> None:
        """Begin a group that stands for one thing of the plan."""
        self.body.append(f"<g data-{sort}={quoteattr(clean(name))}>")

    def finish(self) -> None:
        """End the group."""
        self.body.append("</g>")

    def svg(self, title: str, about: str, height: Px = 0.0) -> str:
        """Return the whole picture; `title` and `about` are what is read out to who cannot see it."""
        size = f"{figure(self.width)} {figure(max(height, self.bottom + 14))}"
        wide, high = size.split()
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" width="{wide}" height="{high}" role="img">'
            f"<title>{escape(clean(title))}</title><desc>{escape(clean(about))}</desc><style>{STYLE}</style>"
            f'<rect class="paper" width="{wide}" height="{high}"/>\n' + "\n".join(self.body) + "\n</svg>\n"
        )


def heading(canvas: Canvas, margin: Px, title: str, show: str, about: Sequence[str]) -> Px:
    """Write what the picture shows, of which show, and what it says in sentences; return the next baseline."""
    room = canvas.width - 2 * margin
    y = canvas.paragraph((margin, margin + 12), title, room, size=HEAD, bold=True)
    y = canvas.paragraph((margin, y), show, room, size=SMALL, tone="soft") + 2
    for sentence in about:
        y = canvas.paragraph((margin, y), sentence, room)
    return y


def signs(canvas: Canvas, margin: Px, y: Px, entries: Sequence[tuple[str, str]]) -> Px:
    """Draw the signs that the picture uses, each with its word, and return the next baseline."""
    x = margin
    for mark, words in entries:
        wide = 34 + text_width(clean(words), SMALL) + 18
        if x > margin and x + wide > canvas.width - margin:
            x, y = margin, y + STEP
        canvas.line([(x, y - 3.5), (x + 28, y - 3.5)], mark, heavy=2.4 if mark else 1.2)
        canvas.text((x + 34, y), words, canvas.width - margin - x - 34, size=SMALL)
        x += wide
    return y + STEP
