"""The faults that reading itself finds: files, YAML, tables, damaged cells. One rule each, with its document."""

from tailboard.findings import Rule, Severity

FAMILY = "reading"
NOT_STANDARD = "common practice, no source."
YAML = "YAML 1.2.2"
RFC_4180 = "RFC 4180 (CSV), section 2"


def _rule(
    name: str,
    severity: Severity,
    sentence: str,
    *,
    finds: str,
    matters: str,
    example: str,
    fix: str,
    misses: str,
    source: str = NOT_STANDARD,
) -> Rule:
    """Return a rule whose document has the fixed headings. Faults of reading cannot be accepted away."""
    document = (
        f"{sentence}\n\nWhat it finds: {finds}\nWhy it matters: {matters}\nExample: {example}\n"
        f"Fix: {fix}\nDoes not find: {misses}\nSource: {source}\n"
    )
    return Rule(name, FAMILY, severity, document, acceptable=False)


# Files.

FILE_UNREADABLE = _rule(
    "file-unreadable",
    Severity.ERROR,
    "A file of the show cannot be opened.",
    finds="a file that the system refuses to read, and why.",
    matters="everything written in it is missing from the plan.",
    example="`lines.csv` without the right to read it.",
    fix="give yourself the right to read the file, or bring the drive back.",
    misses="a file that is not there at all.",
)
FILE_EMPTY = _rule(
    "file-empty",
    Severity.WARNING,
    "A file of the show says nothing.",
    finds="a file with no bytes, with blanks only, or with comments only.",
    matters="a copy that failed leaves an empty file behind, and the plan looks smaller than it is.",
    example="`feeds.csv` of 0 bytes.",
    fix="restore the file, or delete it if nothing belongs there.",
    misses="a file that holds less than it should.",
)
FILE_TOO_LARGE = _rule(
    "file-too-large",
    Severity.ERROR,
    "A file is larger than a plan can be.",
    finds="a text of more than 20 MB, or a workbook that unpacks to more than 200 MB or 5 million cells.",
    matters="such a file is something else (a recording, a disk image) or is made to fill the memory; it is not read.",
    example="`rig.yaml` of 50 MB.",
    fix="move the file out of the show folder, or split it.",
    misses="a large file that is not part of the plan, such as a recording under takes/.",
    source="own limits: 10,000 lines of a plan are about 2 MB.",
)
FILE_BINARY = _rule(
    "file-binary",
    Severity.ERROR,
    "A file that should be text is not.",
    finds="a picture, a workbook, a compressed file or other bytes under the name of a text file.",
    matters="nothing in it can be read.",
    example="a workbook saved as `lines.csv`.",
    fix="save it as text, or give it the ending of what it is.",
    misses="text that makes no sense.",
)
TEXT_NOT_UTF_8 = _rule(
    "text-not-utf-8",
    Severity.ERROR,
    "A text is not written in UTF-8.",
    finds="the first byte that is not UTF-8, with its line and column, and the letter that was probably meant.",
    matters="a wrong guess would print wrong names on labels, so the file is not read.",
    example="`Café` saved with one byte for the é.",
    fix="save the file as UTF-8.",
    misses="an encoding that happens to be good UTF-8 too.",
    source="RFC 3629 (UTF-8), section 3.",
)
CONTROL_CHARACTER = _rule(
    "control-character",
    Severity.WARNING,
    "A text holds a sign that cannot be seen.",
    finds="control characters, marks of direction, zero-width blanks and line breaks that only some programs know; "
    "each is read as a blank.",
    matters="names that look alike then differ, and a line number is not what the editor shows.",
    example="a NUL or a vertical tab copied from another program into a label.",
    fix="delete the sign.",
    misses="look-alike letters of other alphabets.",
    source=f"{YAML}, section 5.1 (character set).",
)
LOCK_FILE_IGNORED = _rule(
    "lock-file-ignored",
    Severity.NOTE,
    "A workbook or table is open in another program.",
    finds="the small file that a spreadsheet leaves beside a file while it is open.",
    matters="what is on that screen may not be saved yet; the saved file is what was read.",
    example="`~$show.xlsx` beside `show.xlsx`.",
    fix="save and close the file there, then read again.",
    misses="a program that leaves no such file.",
)

# YAML.

TAB_IN_INDENT = _rule(
    "tab-in-indent",
    Severity.ERROR,
    "A line is indented with a tab.",
    finds="a tab where YAML wants blanks.",
    matters="a tab has no fixed width, so what belongs to what cannot be told.",
    example="a tab before `SW-B:`.",
    fix="use blanks; most editors can do this for the whole file.",
    misses="a tab inside a text, which is harmless.",
    source=f"{YAML}, section 6.1 (indentation): tabs must not be used.",
)
YAML_BROKEN = _rule(
    "yaml-broken",
    Severity.ERROR,
    "A section cannot be read as YAML.",
    finds="the first place in each section where the writing breaks off: a missing colon, an open quote or bracket, "
    "a wrong indentation.",
    matters="what stands in that part is left out; the rest of the file is still read.",
    example="`SW-B: {kind: switch` without the closing bracket.",
    fix="as the finding says, at the place or on the line before it.",
    misses="a second break in the same part, until the first is mended.",
    source=f"{YAML}.",
)
KEY_TWICE = _rule(
    "key-twice",
    Severity.ERROR,
    "A name stands twice in the same list.",
    finds="two entries with the same key under one heading; the first counts, the second is left out.",
    matters="one of the two is not what the plan means.",
    example="`SB-1:` twice under `devices:`.",
    fix="delete one, or rename it.",
    misses="the same name under two headings or in two files.",
    source=f"{YAML}, section 3.2.1.3 (keys of a mapping are unique).",
)
KEY_NOT_A_WORD = _rule(
    "key-not-a-word",
    Severity.ERROR,
    "A key is a list or is empty.",
    finds="a list, a bracket or nothing before the colon; the entry is left out.",
    matters="an entry without a name cannot be meant by anything else.",
    example="`[1, 2]: AUDIO` or `: AUDIO`.",
    fix="write a name before the colon; use quotes if it begins with a bracket.",
    misses="a name that is misspelt.",
)
MERGE_KEY = _rule(
    "merge-key",
    Severity.ERROR,
    "An entry copies others with `<<`.",
    finds="a merge key; it is left out.",
    matters="YAML 1.2 has no such key, and a value without a place of its own cannot be corrected.",
    example="`<<: *common`.",
    fix="write the entries out, or make a kind that all of them use.",
    misses="an alias as a value, which is allowed.",
    source=f"{YAML}, section 10 (no merge type in its schemas).",
)
ALIAS_TOO_MANY = _rule(
    "alias-too-many",
    Severity.ERROR,
    "Aliases stand for more values than a plan can hold.",
    finds="aliases of aliases that unfold to more than 200,000 values; the alias is read as empty.",
    matters="a few lines can so fill the memory.",
    example="nine lists, each naming the one before nine times.",
    fix="write the values out.",
    misses="aliases in reasonable number.",
    source="own limit: 10,000 rows of 20 values.",
)
ALIAS_UNKNOWN = _rule(
    "alias-unknown",
    Severity.ERROR,
    "An alias stands for nothing.",
    finds="an alias whose anchor is not written above it, or which stands inside its own anchor; it is read as empty.",
    matters="the value is missing.",
    example="`audio: *aduio`.",
    fix="write the anchor as it stands above, or put quotes round a text that begins with *.",
    misses="an alias to the wrong anchor.",
    source=f"{YAML}, section 7.1 (alias nodes).",
)
NESTING_TOO_DEEP = _rule(
    "nesting-too-deep",
    Severity.ERROR,
    "Lists stand in lists beyond any use.",
    finds="more than 40 levels; what is deeper is left out.",
    matters="no value of a plan stands deeper than ten levels; this is damage, or made to break a reader.",
    example="`[[[[[[...`.",
    fix="restore the file.",
    misses="fewer levels that make no sense.",
    source="own limit.",
)
TAG_IGNORED = _rule(
    "tag-ignored",
    Severity.WARNING,
    "A value carries a tag.",
    finds="`!` with a word before a value; the value is read as the text that stands there.",
    matters="the reader makes nothing but texts, so a tag that another program obeys means nothing here.",
    example="`!!float 3` or a tag that names a program's own type.",
    fix="delete the tag; put quotes round a text that begins with !.",
    misses="a tag inside quotes, which is plain text.",
    source=f"{YAML}, section 6.9.1 (tags).",
)
SECOND_DOCUMENT = _rule(
    "second-document",
    Severity.ERROR,
    "A file holds two documents.",
    finds="`---` after the first values; what follows is not read.",
    matters="everything below that line is missing from the plan.",
    example="two files copied into one.",
    fix="delete the line, or move what follows into a file of its own.",
    misses="a `---` before the first values, which is harmless.",
    source=f"{YAML}, section 9.2 (streams).",
)
TOP_NOT_A_MAPPING = _rule(
    "top-not-a-mapping",
    Severity.ERROR,
    "A file is not made of `name: value`.",
    finds="a file whose outermost part is a list or a plain text; nothing is read.",
    matters="what the values are meant for cannot be told.",
    example="`- SB-1` at the margin.",
    fix="begin with the name of a section and a colon, and indent what belongs to it.",
    misses="a file of sections that nobody reads.",
)
BLANK_NOT_PLAIN = _rule(
    "blank-not-plain",
    Severity.WARNING,
    "A blank is not a plain blank.",
    finds="a no-break or other special blank in the indentation or after a colon or hyphen; it is read as a plain one.",
    matters="other programs do not take it for a blank and read one long word.",
    example="`place:` and a no-break space, pasted from a web page or a letter.",
    fix="type a plain blank.",
    misses="special blanks inside a text, which are harmless.",
    source=f"{YAML}, section 5.5 (white space is the blank and the tab).",
)

# Tables.

HEADER_MISSING = _rule(
    "header-missing",
    Severity.ERROR,
    "A column has values but no name.",
    finds="a blank cell in the first row above a column with values.",
    matters="those values are not read, since nothing says what they are.",
    example="`line,source,,label`.",
    fix="name the column in the first row.",
    misses="a table without a first row of names.",
    source=f"{RFC_4180}, 3 (header).",
)
COLUMN_TWICE = _rule(
    "column-twice",
    Severity.ERROR,
    "A column stands twice.",
    finds="two columns with the same name; the first counts.",
    matters="the values of the second are not read.",
    example="`line,label,strip,label`.",
    fix="rename or delete one of the columns.",
    misses="two columns that mean the same under different names.",
)
ROW_LONGER_THAN_HEADER = _rule(
    "row-longer-than-header",
    Severity.ERROR,
    "A row has more cells than the first row has names.",
    finds="values beyond the last named column; they are not read.",
    matters="most often a comma inside a text has split it, and all that follows stands one column too far.",
    example="`7,lectern, front,stage`.",
    fix="put quotes round the text that holds the comma.",
    misses="a split text in a row that leaves its last cells blank.",
    source=f"{RFC_4180}, 4 (the same number of fields in each line).",
)
QUOTE_OPEN = _rule(
    "quote-open",
    Severity.ERROR,
    "A quote is opened and not closed.",
    finds="a cell that begins with a quote and has no end before a delimiter; it is read to the next delimiter.",
    matters="a strict reader would swallow the rows below into this one cell.",
    example='`3,"violin,stage`.',
    fix='close the quote, or write "" for a quote inside a quoted text.',
    misses="a missing quote that pairs up with one further down.",
    source=f"{RFC_4180}, 5 to 7 (quotes).",
)
TABLE_TWICE = _rule(
    "table-twice",
    Severity.ERROR,
    "A table stands in two places.",
    finds="the same table in two files or sheets.",
    matters="nobody can tell which one is meant.",
    example="`lines.csv` beside a workbook with a sheet `lines`.",
    fix="delete or rename one of them.",
    misses="two tables that disagree under different names.",
)
CELL_DAMAGED = _rule(
    "cell-damaged",
    Severity.ERROR,
    "A spreadsheet changed what was typed into a cell.",
    finds="a date or time where none is expected, a number written as 1.23E+15 or with a needless .0, more than 15 digits, "
    "a formula or its error, the logical TRUE or FALSE (a note), a number among names with leading zeros (a warning).",
    matters="`6-9` becomes 6 September or 9 June, `007` becomes 7, `-dir` becomes #NAME?: what was typed is not in the file "
    "any more.",
    example="`6-Sep` in the column `minus`.",
    fix="set the column to text and type the value again; write a range as `6..9`, which no spreadsheet changes.",
    misses="a lone `4` that was `+4` or `04`: nothing shows that something was lost.",
    source=f"{NOT_STANDARD[:-1]}; IEEE 754: a double holds 15 decimal digits.",
)
WORKBOOK_BROKEN = _rule(
    "workbook-broken",
    Severity.ERROR,
    "A workbook cannot be opened.",
    finds="a damaged, protected or foreign file under the ending .xlsx.",
    matters="none of its tables is read.",
    example="a workbook with a password.",
    fix="open it in a spreadsheet and save it again as .xlsx without a password.",
    misses="a workbook that opens but has lost rows.",
)

RULES: tuple[Rule, ...] = tuple(rule for rule in list(globals().values()) if isinstance(rule, Rule))

UNREAD: frozenset[str] = frozenset(
    rule.name
    for rule in (
        FILE_UNREADABLE, FILE_TOO_LARGE, FILE_BINARY, TEXT_NOT_UTF_8, TAB_IN_INDENT, YAML_BROKEN, ALIAS_TOO_MANY,
        NESTING_TOO_DEEP, TOP_NOT_A_MAPPING, HEADER_MISSING, WORKBOOK_BROKEN,
    )
)  # fmt: skip
"""Rules whose findings mean that a file, or a part of it, was not read: what names it holds is then unknown."""
