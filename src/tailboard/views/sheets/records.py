"""What a sheet is made of: columns, rows, tables, words, cautions, pictures and places to sign."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    key     short and steady, in the words of the plan's own tables: `line`, `hole`, `48V`.
    head    what is printed over it; empty: the key.
    share   its part of the width, beside the shares of the other columns; a common column has 4.
    big     the number to plug by: first, and readable at a metre.
    pencil  an empty box to write into: a measured value, initials.
    exact   a name to be typed as it stands (address, stream, file): printed in a fixed width.
    """

    key: str
    head: str = ""
    share: int = 4
    big: bool = False
    pencil: bool = False
    exact: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One row. `cells`: one text a column.

    about    the thing the row is about, `line 5` or `cable F-01`: what links and comparisons go by.
    spare    a spare or a reserve: a row like any other, with a word for it in its cells and paler ink.
    changed  differs from the version before; set by the one who compares, never by the sheet.
    """

    cells: tuple[str, ...]
    about: str = ""
    spare: bool = False
    changed: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """One table of a sheet. `key` is the same on every sheet that shows such rows: `input list`, `ports`.

    title  printed above it; note: one sentence below it.
    blank  how many empty lines to leave for pencil.
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    note: str = ""
    blank: int = 0


@dataclass(frozen=True, slots=True)
class Words:
    """A few sentences under a heading. `points` are set as a list."""

    title: str
    points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing on a sheet: which one, and of what.

    drawing  `map`, `chain`, `level`, `arrival`, `flow`; subject: the overlay, line, receiver or place it shows.
    """

    drawing: str
    subject: str
    title: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of the book, its parts from the top: cautions, words, tables, pictures, places to sign.

    key         steady and unique in the book: `patch SB-1`, `input list`, `place wing`.
    kind        what it is: `patch`, `input list`, `hand-off`; all sheets of one kind share it.
    title       printed at the head. subject: what stands largest beside it (a box, a place, a person), if any.
    place       the section it belongs to; empty: a sheet of the whole show.
    department  who works from it when `place` is empty: `audio`, `comms`, `network`, `rigging`, `everyone`.
    sign        who signs: one line each, `for the house`.
    words_behind  how many of the words, from the last, stand behind the tables.
    wide        set on a landscape page.
    pocket      set on a page that is folded and pocketed.
    """

    key: str
    kind: str
    title: str
    subject: str = ""
    place: str = ""
    department: str = ""
    words: tuple[Words, ...] = ()
    pictures: tuple[Picture, ...] = ()
    tables: tuple[Table, ...] = ()
    cautions: tuple[str, ...] = ()
    sign: tuple[str, ...] = ()
    words_behind: int = 0
    wide: bool = False
    pocket: bool = False
