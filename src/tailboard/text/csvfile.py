"""CSV text to a table whose cells know where they stand, and what a spreadsheet may have done to a cell."""

import re

from tailboard.findings import Finding, Spot
from tailboard.text import faults
from tailboard.text.collector import without_collector
from tailboard.text.decoding import decode, empty
from tailboard.text.nodes import Table
from tailboard.text.record import Field, plain_texts, split_record
from tailboard.text.tablerows import TableRows

DELIMITERS = (",", ";", "\t")


def read_csv(name: str, data: bytes, table_name: str) -> tuple[Table | None, list[Finding]]:
    """Return the table written in a CSV file and the findings; None when there is none.

    The first row that is neither blank nor a comment is the header; its delimiter (comma, semicolon or tab) holds for
    the whole file, unless a line `sep=;` before it names one. Short rows are filled up with empty cells. Of two columns
    with one name the first counts.
    """
    lines, findings = decode(name, data, blanks_matter=False)
    if lines is None:
        return None, findings
    table = Table(table_name, name, source=lines)
    line = _header_line(table)
    if line > len(lines):
        return None, [*findings, empty(name, "holds nothing but comments")]
    rows = TableRows(table)
    with without_collector():
        findings += _fill(rows, line)
    if not table.header:  # a quote that never closes, or blanks in quotes
        return None, [*findings, empty(name, "has no row of names")]
    return table, [*findings, *rows.finish()]


def _fill(rows: TableRows, line: int) -> list[Finding]:
    """Add every row from `line` on, and return the findings for open quotes."""
    findings: list[Finding] = []
    table = rows.table
    lines, delimiter = table.source, table.delimiter
    while line <= len(lines):
        text = lines[line - 1]
        if is_comment(text):
            line += 1
        elif (texts := plain_texts(text, delimiter)) is not None:
            rows.add(line, texts)
            line += 1
        else:
            record = split_record(lines, line, delimiter)
            findings += [_open_quote(table, field) for field in record.open_quotes]
            rows.add(line, [field.text for field in record.fields])
            line = record.next_line
    return findings


def is_comment(text: str) -> bool:
    """Return whether a line, or the first cell of a row, begins a comment. `#NAME?` and its kin are damaged cells.

    A spreadsheet puts quotes round a comment that holds a comma.
    """
    return text.startswith(("#", '"#')) and not _ERROR.match(text.lstrip('"'))


def _header_line(table: Table) -> int:
    """Set the table's delimiter and return the line of the header; beyond the last line when there is none."""
    named = ""
    for line, text in enumerate(table.source, 1):
        if re.fullmatch("sep=.", text.strip()):
            named = text.strip()[-1]
        elif text.strip(" \t,;") and not is_comment(text):
            unquoted = re.sub('"[^"]*"', "", text)
            table.delimiter = named or max(DELIMITERS, key=unquoted.count)
            return line
    return len(table.source) + 1


def _open_quote(table: Table, field: Field) -> Finding:
    """Return the finding for a quote that is not closed."""
    message = f"the quote before '{field.text[:40]}' is not closed; the cell is read to the next '{table.delimiter}'"
    if table.delimiter == "\t":
        message = message.replace("'\t'", "tab")
    fix = 'close the quote, or write "" for a quote that belongs to a quoted text'
    spot = Spot(table.file, field.line, field.column, 1)
    return faults.QUOTE_OPEN.finding((table.name, str(field.line)), spot, message, fix)


_MONTH_NAMES = (
    "jan january januar janv janvier ene enero gen gennaio januari",
    "feb february februar févr fév février febrero febbraio februari",
    "mar march mär mrz märz mars marzo mrt maart",
    "apr april avr avril abr abril aprile",
    "may mai mayo mag maggio mei",
    "jun june juni juin junio giu giugno",
    "jul july juli juil juillet julio lug luglio",
    "aug august août ago agosto augustus",
    "sep sept september septembre septiembre set settembre",
    "oct october okt oktober octobre octubre ott ottobre",
    "nov november novembre noviembre",
    "dec december dez dezember déc décembre dic diciembre dicembre",
)
_MONTHS = {word: number for number, words in enumerate(_MONTH_NAMES, 1) for word in words.split()}
_CLOCK = r"(?:[ T]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?)?"
_DAY_MONTH = re.compile(r"(\d{1,2})[-./ ]{1,2}([^\W\d_]{3,10})\.?(?:[-./ ]{1,2}(?:\d{4}|\d{2}))?")
_MONTH_DAY = re.compile(r"([^\W\d_]{3,10})\.?[-./ ]{1,2}(\d{1,2})(?:,? \d{4})?")
_DATES = (
    re.compile(rf"(?P<year>\d{{4}})([-/.])(?P<month>\d{{1,2}})\2(?P<day>\d{{1,2}}){_CLOCK}"),
    re.compile(rf"(?P<day>\d{{1,2}})([-/.])(?P<month>\d{{1,2}})\2(?P<year>\d{{4}}|\d{{2}}|){_CLOCK}"),
)
_TIME = re.compile(r"(\d{1,3}):(\d{2})(?::(\d{2})(?:\.\d+)?)?(?: ?[AaPp][Mm])?")
_POWER = re.compile(r"([+-]?\d+)(?:[.,](\d+))?E([+-]\d+)")
_ERROR = re.compile(r"#(?:NAME\?|REF!|VALUE!|DIV/0!|N/A|NUM!|NULL!|SPILL!|CALC!)|Err:5\d\d")


def damage(text: str) -> str:
    """Return what a spreadsheet probably did to a cell and what it may have been, or '' for a text without such marks.

    Ask only where no date is expected: a date typed on purpose looks the same. A lone `4` that was `+4` cannot be told.
    """
    for look in (_date_damage, _number_damage, _formula_damage):
        words = look(text)
        if words:
            return words
    return ""


def _date_damage(text: str) -> str:
    """Return words for a date or a time."""
    found = _DAY_MONTH.fullmatch(text)
    if found and found[2].casefold() in _MONTHS:
        return _was_pair("a date", int(found[1]), _MONTHS[found[2].casefold()])
    found = _MONTH_DAY.fullmatch(text)
    if found and found[1].casefold() in _MONTHS:
        return _was_pair("a date", int(found[2]), _MONTHS[found[1].casefold()])
    for form in _DATES:
        found = form.fullmatch(text)
        if found and 1 <= int(found["month"]) <= 31 and 1 <= int(found["day"]) <= 31:
            if found["year"] in ("1899", "1900"):
                return "a spreadsheet turned this into a date; it was probably a small number"
            return _was_pair("a date", int(found["day"]), int(found["month"]))
    found = _TIME.fullmatch(text)
    if found:
        minutes = int(found[2]) or "00"
        return f"a spreadsheet turned this into a time; it may have been {int(found[1])}:{minutes}"
    return ""


def _was_pair(what: str, day: int, month: int) -> str:
    """Return words for a date that was probably two numbers with a sign between them."""
    low, high = sorted((day, month))
    may = f"a spreadsheet turned this into {what}; it may have been"
    if low == high:
        return f"{may} {low}-{high} or {low}/{high}"
    return f"{may} {day}-{month}, {month}-{day} or {day}/{month}: write a range as {low}..{high}"


def _number_damage(text: str) -> str:
    """Return words for a number that a spreadsheet rewrote."""
    found = _POWER.fullmatch(text)
    if found:
        digits = found[1] + ("." + found[2].rstrip("0") if found[2] and found[2].strip("0") else "")
        return f"a spreadsheet turned this into a number; it may have been {digits}E{int(found[3])} or a long row of digits"
    if re.fullmatch(r"[+-]?\d+\.0", text):
        return f"a spreadsheet wrote this as a number; it was probably {text[:-2]}"
    return ""


def _formula_damage(text: str) -> str:
    """Return words for a formula or its error."""
    if text.startswith("#") and text.strip("#") == "" and len(text) > 2:
        return "a spreadsheet printed this because the column was too narrow; the value is lost"
    if _ERROR.fullmatch(text):
        return "a spreadsheet took this for a formula and could not work it out; it probably began with +, -, = or @"
    if text.startswith("=") and len(text) > 1:
        return f"this is a formula, not its result; it may have been '{text[1:]}'"
    return ""
