"""A spot: where in a file the user wrote something."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """A stretch of one line in a file the user wrote. Lines and columns count from 1.

    file    path relative to the show folder, with '/' between its parts.
    line    line of the file, or row of the sheet; 0 means the whole file.
    column  first character; 0 means the whole line.
    width   characters; 0 means to the end of the value.
    sheet   name of the sheet in a workbook, else empty. `column` then counts cells.
    """

    file: str
    line: int = 0
    column: int = 0
    width: int = 0
    sheet: str = ""

    def __str__(self) -> str:
        """Return the spot as people and editors write it: `lines.csv:7:14`, `show.xlsx[lines]!C7`."""
        if self.sheet:
            return f"{self.file}[{self.sheet}]!{column_letters(self.column)}{self.line}"
        parts = [self.file, *(str(number) for number in (self.line, self.column) if number)]
        return ":".join(parts)


NOWHERE = Spot("")


def column_letters(column: int) -> str:
    """Return the letters a spreadsheet shows for a column counted from 1: 1 -> A, 27 -> AA; 0 -> empty."""
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
