"""What a YAML parser says, in plain words: what is missing, where it was opened, how to mend it."""

import re
from collections.abc import Callable
from dataclasses import dataclass

import yaml

from tailboard.findings import Because, Finding, Rule, Spot
from tailboard.text import faults

Place = tuple[int, int]  # line and column, both counted from 0, in the part that was parsed

_VALUED = re.compile(r":\s+[^\s#]")
_CLOSERS = {"{": "}", "[": "]"}


@dataclass(frozen=True, slots=True)
class Stop:
    """Where the parser stopped.

    problem  the parser's words, lower case, context first.
    at       where it stopped.
    since    where the thing began that it was reading, or None.
    lines    the part that was parsed.
    """

    problem: str
    at: Place
    since: Place | None
    lines: list[str]

    def text(self, place: Place) -> str:
        """Return the line of a place."""
        return self.lines[place[0]]

    def sign(self, place: Place) -> str:
        """Return the character at a place, '' at the end of a line."""
        return self.lines[place[0]][place[1] : place[1] + 1]

    @property
    def ended(self) -> bool:
        """Whether nothing but blanks and comments follows."""
        rest = [self.text(self.at)[self.at[1] :], *self.lines[self.at[0] + 1 :]]
        return all(not line.strip() or line.lstrip().startswith("#") for line in rest)

    def line_above(self) -> int | None:
        """Return the index of the nearest line above that holds something, or None."""
        above = range(self.at[0] - 1, -1, -1)
        return next((n for n in above if self.lines[n].strip() and not self.lines[n].lstrip().startswith("#")), None)


@dataclass(frozen=True, slots=True)
class Words:
    """What to say: the place to edit, the message, the repair, and another place with its words."""

    place: Place
    message: str
    fix: str
    other: tuple[Place, str] | None = None
    rule: Rule = faults.YAML_BROKEN
    width: int = 0


def explain(error: Exception, file: str, lines: list[str], offset: int) -> Finding:
    """Return the finding for a parser's error; `lines` is the part that was parsed, after `offset` lines of the file."""
    if isinstance(error, yaml.MarkedYAMLError):
        problem = f"{error.context or ''}: {error.problem or ''}".lower()
        at = _inside(error.problem_mark or error.context_mark, lines) or (0, 0)
        stop = Stop(problem, at, _inside(error.context_mark, lines), lines)
    else:  # the pure loader stumbles over the number of a sign, and says no place
        places = [(number, line.find("\\U")) for number, line in enumerate(lines) if "\\U" in line]
        place = places[0] if places else (0, 0)
        stop = Stop("quoted scalar", place, place, lines)
    words = next(words for look in _LOOKS if (words := look(stop)))
    because = []
    if words.other is not None:
        (line, column), what = words.other
        because = [Because(Spot(file, line + offset + 1, column + 1), what)]
    line, column = words.place
    spot = Spot(file, line + offset + 1, column + 1, words.width)
    return words.rule.finding(file, spot, words.message, words.fix, because)


def _inside(mark: object, lines: list[str]) -> Place | None:
    """Return a parser's mark as a place inside the lines; a mark behind the end moves to the end of the last text."""
    if mark is None:
        return None
    line, column = getattr(mark, "line", 0), getattr(mark, "column", 0)
    if line < len(lines) and column < len(lines[line]):
        return line, column
    line = min(line, len(lines) - 1)
    if not lines[line].strip():
        line = max((number for number in range(line) if lines[number].strip()), default=0)
    return line, len(lines[line].rstrip())


def _tab(stop: Stop) -> Words | None:
    if stop.sign(stop.at) != "\t" and "tab character" not in stop.problem:
        return None
    column = max(stop.text(stop.at).find("\t"), 0)
    return Words(
        (stop.at[0], column),
        "a tab stands here where YAML wants blanks",
        "replace the tab by blanks, as many as the lines beside it have",
        rule=faults.TAB_IN_INDENT,
        width=1,
    )


def _deep(stop: Stop) -> Words | None:
    if "nesting depth" not in stop.problem:
        return None
    message, fix = "lists stand in lists here beyond any use", "restore this part of the file"
    return Words(stop.at, message, fix, rule=faults.NESTING_TOO_DEEP)


def _colon(stop: Stop) -> Words | None:
    """A name without a colon, or with a colon and no blank."""
    if "could not find expected ':'" not in stop.problem or stop.since is None:
        return None
    return _no_colon(stop, stop.since)


def _no_colon(stop: Stop, place: Place) -> Words:
    return Words(place, *no_colon(stop.text(place)[place[1] :].strip()))


def no_colon(text: str) -> tuple[str, str]:
    """Return message and repair for a text that should be a name and a value."""
    tight = re.match(r"([^\s:\"']+):(\S.*)", text)
    if tight:
        return f"no blank follows the colon in '{_cut(text)}'", f"write '{tight[1]}: {_cut(tight[2])}'"
    return f"'{_cut(text)}' has no colon", "write 'name: value', with a blank after the colon"


def _value_not_allowed(stop: Stop) -> Words | None:
    """A second colon, a line too far to the right, or a line above that lacks its colon."""
    if "mapping values are not allowed" not in stop.problem:
        return None
    line, column = stop.at
    first = _VALUED.search(stop.text(stop.at)[:column])
    if first:
        return Words(
            stop.at,
            "a second colon with a blank stands in this line",
            "put the text after the first colon in quotes",
            ((line, first.start()), "the first colon"),
        )
    above = stop.line_above()
    if above is None:
        return Words(stop.at, "a colon stands here where none can be", "put the text in quotes")
    if not _VALUED.search(stop.lines[above]):
        return _no_colon(stop, (above, _indent(stop.lines[above])))
    begin = (line, _indent(stop.lines[line]))
    return Words(
        begin,
        f"this line begins in column {begin[1] + 1}, further right than the line above, which has its value already",
        f"begin it in column {_indent(stop.lines[above]) + 1}, or take the value away from the line above",
        ((above, _indent(stop.lines[above])), "the line above"),
    )


def _entry(stop: Stop) -> Words | None:
    """Something among names or list items that is neither."""
    in_list = "block collection" in stop.problem
    if not in_list and "while parsing a block mapping" not in stop.problem:
        return None
    begins = not stop.text(stop.at)[: stop.at[1]].strip()
    if not begins or stop.sign(stop.at) in tuple("}]"):
        return _after_value(stop)
    if stop.sign(stop.at) == ":":
        return Words(stop.at, "nothing stands before the colon", "write a name before it, or delete it")
    other = (stop.since, "what it would belong to begins here") if stop.since else None
    is_item = re.match(r"-(\s|$)", stop.text(stop.at)[stop.at[1] :]) is not None
    if in_list and not is_item:
        fix = "write '- ' before it, or begin it further left if it does not belong to the list"
        return Words(stop.at, "an entry without '-' stands in a list", fix, other)
    if is_item and not in_list:
        fix = "begin it further right, below the name it belongs to"
        return Words(stop.at, "a list item stands among names", fix, other)
    message = f"this line begins in column {stop.at[1] + 1}, where no line above begins that it could belong to"
    return Words(stop.at, message, "begin it in the column of the entries that it stands beside", other)


def _after_value(stop: Stop) -> Words:
    """Say what is wrong when something follows a finished value: a bracket, a quote left open, plain text."""
    text, at = stop.text(stop.at), stop.at
    if stop.sign(at) in tuple("}]"):
        return Words(
            at, f"'{stop.sign(at)}' closes a bracket that is not open", "delete it, or open the bracket", width=1
        )
    before = text[: at[1]].rstrip()
    quote = before[-1:]
    if quote not in ('"', "'"):
        return Words(at, f"'{_cut(text[at[1] :])}' cannot follow the value before it", "put the whole value in quotes")
    fix = "put one pair of quotes round the whole text"
    fix += ", and write '' for an apostrophe in it" if quote == "'" else ""
    message = f"'{_cut(text[at[1] :])}' stands after the closing quote"
    return _quote_above(stop) or Words(at, message, fix, ((at[0], len(before) - 1), "the quote"))


def _quote_above(stop: Stop) -> Words | None:
    """Say that a quote was left open on a line above, if the text before the stop ends with the second of its line."""
    before = stop.text(stop.at)[: stop.at[1]].rstrip()
    quote = before[-1:]
    if quote not in ('"', "'") or before.count(quote) % 2 == 0:
        return None
    opened = next((n for n in range(stop.at[0] - 1, -1, -1) if stop.lines[n].count(quote) % 2), None)
    if opened is None:
        return None
    place = (opened, stop.lines[opened].rfind(quote))
    ends = ((stop.at[0], len(before) - 1), "it ends here")
    message = f"the quote {quote} opened here is not closed in its line"
    return Words(place, message, f"write {quote} where the text ends", ends, width=1)


def _bracket(stop: Stop) -> Words | None:
    """A bracket left open, a comma left out, a bracket closed by another."""
    if "expected ','" not in stop.problem or stop.since is None:
        return None
    return _quote_above(stop) or _open_bracket(stop, stop.since)


def _open_bracket(stop: Stop, since: Place) -> Words:
    opener, sign = stop.sign(since), stop.sign(stop.at)
    closer = _CLOSERS.get(opener, "]")
    if sign in ("}", "]") and sign != closer:
        return Words(stop.at, f"'{sign}' closes a '{opener}'", f"write '{closer}'", (since, "opened here"), width=1)
    rest = "\n".join([stop.text(stop.at)[stop.at[1] :], *stop.lines[stop.at[0] + 1 :]])
    if closer in rest and not stop.ended:
        message = f"a comma or '{closer}' is missing before this place"
        return Words(
            stop.at,
            message,
            "write a comma between entries; put quotes round a text with : or ,",
            (since, "in the bracket opened here"),
        )
    message = f"the bracket '{opener}' opened here is not closed"
    return Words(since, message, f"write '{closer}' where it ends", (stop.at, "it would reach to here"), width=1)


def _no_value(stop: Stop) -> Words | None:
    """A place for a value with no value: the text ends in a bracket, two commas, a stray sign."""
    if "node content" not in stop.problem:
        return None
    opened = _last_open(stop.lines)
    if stop.ended and opened is not None:
        return _open_bracket(stop, opened)
    sign = stop.sign(stop.at)
    if sign == ":":
        return Words(stop.at, "nothing stands before the colon", "write a name before it, or delete it")
    if "flow node" in stop.problem:
        return Words(stop.at, f"a value is missing before '{sign}'", "write the value, or delete the comma too many")
    return Words(stop.at, f"a text cannot begin with '{sign}'", "put the text in quotes")


def _last_open(lines: list[str]) -> Place | None:
    """Return the innermost bracket that is still open at the end; quoted texts and comments are passed over."""
    opened: list[Place] = []
    for number, line in enumerate(lines):
        for found in re.finditer(r"\"(?:[^\"\\]|\\.)*\"|(?<!\w)'[^']*'|(?:^|\s)#.*|[\[\]{}]", line):
            if found[0] in _CLOSERS:
                opened.append((number, found.start()))
            elif found[0] in ("}", "]") and opened:
                opened.pop()
    return opened[-1] if opened else None


def _quote(stop: Stop) -> Words | None:
    """A quote left open to the end, or a backslash in double quotes."""
    if "quoted scalar" not in stop.problem or stop.since is None:
        return None
    if "unexpected" in stop.problem:
        sign = stop.sign(stop.since)
        return Words(
            stop.since, f"the quote {sign} opened here is not closed", f"write {sign} where the text ends", width=1
        )
    message = "a backslash in double quotes begins a special sign, and this is none"
    return Words(stop.at, message, "use single quotes for this text, or write \\\\ for a backslash")


def _sign(stop: Stop) -> Words | None:
    """A text that begins with a sign that means something else, or a list where none can begin."""
    if "unexpected ':'" in stop.problem:
        return Words(stop.at, "a colon stands here where none can be", "put the text in quotes")
    if "sequence entries are not allowed" in stop.problem:
        fix = "begin the list on a line of its own, or write it in brackets: [a, b]"
        return Words(stop.at, "a list item cannot stand on the line of its name", fix)
    if "comment or a line break" in stop.problem or "comment or line break" in stop.problem:
        return Words(
            stop.at, "after | or > the text begins on the next line", "move the text to the next line, or delete | or >"
        )
    begins = (
        "start any token",
        "alphabetic or numeric",
        "keys are not allowed",
        "tag",
        "directive",
        "document (",
        "yaml document",
    )
    place = stop.since or stop.at
    if not any(word in stop.problem for word in begins) or not stop.sign(place):
        return None
    return Words(place, f"a text cannot begin with '{stop.sign(place)}' here", "put the text in quotes")


def _margin(stop: Stop) -> Words | None:
    """A line that stands outside of everything before it."""
    if "document start" not in stop.problem:
        return None
    first = next(n for n, line in enumerate(stop.lines) if line.strip())
    if _indent(stop.lines[first]) <= stop.at[1]:
        return Words(
            stop.at,
            f"'{_cut(stop.text(stop.at))}' does not belong to what stands above it",
            "write 'name: value' on each line",
        )
    return Words(
        stop.at,
        "this line begins further left than the first",
        "begin all sections in column 1",
        ((first, _indent(stop.lines[first])), "the first line"),
    )


def _other(stop: Stop) -> Words:
    words = stop.problem.rpartition(": ")[2] or "unknown reason"
    return Words(stop.at, f"this cannot be read as YAML: {words}", "put texts with signs such as : , [ { # in quotes")


_LOOKS: tuple[Callable[[Stop], Words | None], ...] = (
    _tab,
    _deep,
    _colon,
    _value_not_allowed,
    _entry,
    _bracket,
    _no_value,
    _quote,
    _sign,
    _margin,
    _other,
)


def _indent(line: str) -> int:
    """Return the number of blanks before a line."""
    return len(line) - len(line.lstrip(" "))


def _cut(text: str) -> str:
    """Return the beginning of a text, for a message."""
    text = text.strip()
    return text if len(text) <= 30 else text[:29] + "…"
