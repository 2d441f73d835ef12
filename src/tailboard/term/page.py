"""A page of text under construction: wrapped to its width, signs and colour as the terminal can show them."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.term.signs import PLAIN_SIGNS, SIGN_WIDTH, SIGNS, clean, padded, width_of

WIDTH = 80  # columns of a text terminal and of a line printer, common practice, no source
WIDTH_MIN = 40
ACCENT, BOLD, FAINT, OFF = "\x1b[1;31m", "\x1b[1m", "\x1b[2m", "\x1b[0m"


@dataclass(frozen=True, slots=True)
class Style:
    """How a page may look.

    width   columns.
    plain   signs of ASCII alone.
    colour  one accent for what is broken; every sign says the same without it.
    """

    width: int = WIDTH
    plain: bool = False
    colour: bool = False

    def sign(self, name: str) -> str:
        """Return a sign, filled up to the width that all signs share."""
        return padded((PLAIN_SIGNS if self.plain else SIGNS)[name], SIGN_WIDTH)

    def mark(self, name: str) -> str:
        """Return a sign as it is."""
        return (PLAIN_SIGNS if self.plain else SIGNS)[name]


@dataclass(slots=True)
class Page:
    """Lines of text, none wider than the page unless a single sign does not fit."""

    style: Style
    lines: list[str] = field(default_factory=list)

    def blank(self) -> None:
        """Add an empty line, unless the last one is empty or the page has just begun."""
        if self.lines and self.lines[-1]:
            self.lines.append("")

    def rule(self) -> None:
        """Add a line across the page."""
        self.lines.append(self.style.mark("rule") * self.style.width)

    def put(self, text: str, colour: str = "") -> None:
        """Add one line as it is."""
        text = text.rstrip()
        self.lines.append(f"{colour}{text}{OFF}" if colour and self.style.colour and text else text)

    def say(self, text: str, indent: int = 0, hang: int | None = None, colour: str = "") -> None:
        """Add a text, wrapped; lines after the first begin at `hang`."""
        later = indent if hang is None else hang
        for line in wrapped(clean(text), self.style.width, indent, later):
            self.put(line, colour)

    def tell(self, lead: str, text: str, indent: int = 0, colour: str = "") -> None:
        """Add a text with a short lead before it, wrapped so that the lead stands alone in its column."""
        begin = indent + width_of(lead)
        first, *others = wrapped(clean(text), self.style.width, begin, begin)
        led = " " * indent + lead + first[begin:]
        if colour and self.style.colour and lead.strip():
            led = " " * indent + colour + lead.rstrip() + OFF + lead[len(lead.rstrip()) :] + first[begin:]
        self.lines.append(led.rstrip())
        for line in others:
            self.put(line)

    def text(self) -> str:
        """Return the whole page, a line break after each line."""
        return "".join(f"{line}\n" for line in self.lines)


def wrapped(text: str, width: int, first: int = 0, later: int = 0) -> list[str]:
    """Return a text as lines of at most `width` columns, indented; a word that is too long for a line is broken."""
    lines: list[str] = []
    line, at, empty = " " * first, first, True
    for word in text.split():
        rest = word
        while True:
            room = width - at - (0 if empty else 1)
            if width_of(rest) <= room:
                line += rest if empty else f" {rest}"
                at, empty = width_of(line), False
                break
            if empty:
                head = fitting(rest, max(room, 1))
                line, rest = line + head, rest[len(head) :]
            lines.append(line)
            line, at, empty = " " * later, later, True
    return [*lines, line] if not empty or not lines else lines


def fitting(word: str, room: int) -> str:
    """Return as much of a word as fits, broken after a sign that parts names where there is one."""
    head = ""
    for sign in word:
        if head and width_of(head + sign) > room:
            break
        head += sign
    parted = max(head.rfind(sign) for sign in ":/,;") + 1
    return head[:parted] if parted > room // 2 else head
