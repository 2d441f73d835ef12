"""Shapes: what the text of a field may look like, and the value it becomes.

A shape parses one text; `FieldError` carries the sentence for the finding. Each shape also describes itself in words
and as a JSON Schema fragment, so that reader, documentation and editors share one truth.
"""

from __future__ import annotations

import ipaddress
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from tailboard.text.ranges import expand
from tailboard.units import FAMILIES, Alignment, QuantityError, parse_alignment, parse_quantity

Value = Any  # the value of a field; the record's own annotation says which type it is


class FieldError(ValueError):
    """The text does not fit the shape; the message is a sentence for the user."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One shape.

    words    what may be written, for documentation: 'a length with its unit, such as 150 m'.
    parse    text -> value; raises FieldError.
    schema   JSON Schema of the YAML value.
    listing  True: the value is a tuple of texts; YAML may give a sequence.
    mapped   True: the value is a mapping of name -> text parsed by `parse`.
    dated    True: a date is expected, so a spreadsheet's date is no damage.
    names    'device', 'place', ...: the value names a thing of that table; empty otherwise.
    base     base unit of a quantity, for wording; empty otherwise.
    item     the shape of a mapping's values.
    bare     a mapping that may be written as a plain list of its names; their values are then empty.
    """

    words: str
    parse: Callable[[str], Value]
    schema: dict[str, Any]
    listing: bool = False
    mapped: bool = False
    dated: bool = False
    names: str = ""
    base: str = ""
    bare: bool = False
    item: Shape | None = None


NAME_SHAPE = re.compile(r"[^\s:,;\"'{}\[\]#|*&](?:[^:,;\"{}\[\]|]*[^\s:,;\"'{}\[\]|])?$")


def parse_name(text: str) -> str:
    """Return a name; colons, commas, quotes and brackets are refused, for claims and ranges are written with them."""
    if len(text) > 80:
        raise FieldError(f"'{text[:20]}...' is too long for a name; 80 characters at most")
    if not NAME_SHAPE.match(text):
        raise FieldError(f"'{text}' is no name: leave out , : ; quotes and brackets")
    return text


def parse_names(text: str) -> tuple[str, ...]:
    """Return a list of names with its ranges written out."""
    listed, problems = expand(text)
    if problems:
        raise FieldError(problems[0])
    return tuple(listed)


MINUS = "minus "  # begins a name that stands behind that word
MINUS_WORD = re.compile(r"(?<!\S)minus(?!\S)", re.IGNORECASE)


def parse_mix(text: str) -> tuple[str, ...]:
    """Return a list of names as `parse_names`; those behind the word minus begin with `MINUS`."""
    head, *rest = MINUS_WORD.split(text)
    names = parse_names(head)
    if not rest:
        return names
    out = [name for part in rest for name in parse_names(part)]
    if not out:
        raise FieldError(f"'{text}' ends in minus; write what is left out behind it")
    return (*names, *(MINUS + name for name in out))


YES = frozenset({"yes", "on", "true", "y", "x", "1", "48v", "+48", "+48 v", "48 v"})
NO = frozenset({"no", "off", "false", "n", "-", "0"})


def parse_yes_no(text: str) -> bool:
    """Return True for yes/on, False for no/off."""
    word = text.lower()
    if word in YES:
        return True
    if word in NO:
        return False
    raise FieldError(f"'{text}' is neither on nor off")


def parse_address(text: str) -> str:
    """Return an IPv4 address, or the word 'dhcp'."""
    if text.lower() == "dhcp":
        return "dhcp"
    try:
        return str(ipaddress.IPv4Address(text))
    except ValueError:
        raise FieldError(f"'{text}' is no IPv4 address such as 10.41.20.21") from None


def parse_subnet(text: str) -> ipaddress.IPv4Network:
    """Return an IPv4 subnet; host bits must be zero."""
    try:
        return ipaddress.IPv4Network(text)
    except ValueError:
        pass
    try:
        meant = ipaddress.IPv4Network(text, strict=False)
    except ValueError:
        raise FieldError(f"'{text}' is no subnet such as 10.41.20.0/24") from None
    if "/" not in text:
        raise FieldError(f"'{text}' has no prefix length; write for example {text}/24")
    raise FieldError(f"'{text}' is an address inside a subnet; write {meant}")


def parse_subnets(text: str) -> tuple[ipaddress.IPv4Network, ...]:
    """Return the subnets of a comma list."""
    return tuple(parse_subnet(part.strip()) for part in text.split(",") if part.strip())


def parse_address_range(text: str) -> tuple[str, str]:
    """Return the first and last address of '10.41.30.100-199', '10.41.30.100..10.41.30.199' or one address."""
    first, _, last = text.replace("..", "-").partition("-")
    first, last = first.strip(), last.strip() or first.strip()
    if "." not in last:
        last = first.rpartition(".")[0] + "." + last
    start, end = parse_address(first), parse_address(last)
    if int(ipaddress.IPv4Address(start)) > int(ipaddress.IPv4Address(end)):
        raise FieldError(f"'{text}' runs backwards")
    return start, end


MAC_SHAPE = re.compile(r"[0-9a-f]{12}$")


def parse_mac(text: str) -> str:
    """Return a MAC address as 02:00:00:52:70:50."""
    digits = re.sub(r"[:.\- ]", "", text.lower())
    if not MAC_SHAPE.match(digits):
        raise FieldError(f"'{text}' is no MAC address such as 02:00:00:52:70:50")
    return ":".join(digits[index : index + 2] for index in range(0, 12, 2))


def parse_day(text: str) -> str:
    """Return a day as 2027-11-20."""
    try:
        return date.fromisoformat(text[:10]).isoformat() if len(text) > 10 else date.fromisoformat(text).isoformat()
    except ValueError:
        raise FieldError(f"'{text}' is no day; write it as 2027-11-20") from None


def parse_moment(text: str) -> str:
    """Return a day or a day with its time, as 2027-11-20 or 2027-11-20 16:20."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise FieldError(f"'{text}' is no day and time; write it as 2027-11-20 16:20") from None
    return f"{moment:%Y-%m-%d}" if len(text) <= 10 else f"{moment:%Y-%m-%d %H:%M}"


def whole(least: int, most: int) -> Shape:
    """Return the shape of a whole number within limits."""

    def parse(text: str) -> int:
        try:
            number = int(text)
        except ValueError:
            raise FieldError(f"'{text}' is no whole number") from None
        if not least <= number <= most:
            raise FieldError(f"{number} is outside {least}..{most}")
        return number

    schema = {"type": ["integer", "string"], "minimum": least, "maximum": most}
    return Shape(f"a whole number, {least} to {most}", parse, schema)


def wholes(least: int, most: int) -> Shape:
    """Return the shape of a list of whole numbers within limits, ranges allowed."""
    one = whole(least, most)
    words = f"whole numbers, {least} to {most}, separated by commas"
    schema = {"type": ["integer", "string", "array"]}
    return Shape(words, lambda text: tuple(one.parse(number) for number in parse_names(text)), schema, listing=True)


def quantity(family_name: str, least: float, most: float, example: str) -> Shape:
    """Return the shape of a quantity within limits given in the family's base unit."""
    family = FAMILIES[family_name]

    def parse(text: str) -> float:
        try:
            value = parse_quantity(text, family)
        except QuantityError as problem:
            raise FieldError(str(problem)) from None
        if not least <= value <= most:
            raise FieldError(f"'{text}' is outside {least:g}..{most:g} {family.base}")
        return value

    article = "an" if family.name[0] in "aeiou" else "a"
    words = f"{article} {family.name} with its unit, such as {example}; {least:g} to {most:g} {family.base}"
    return Shape(words, parse, {"type": ["string", "number"]}, base=family.base)


def quantities(family_name: str, least: float, most: float, example: str) -> Shape:
    """Return the shape of a list of quantities."""
    one = quantity(family_name, least, most, example.partition(",")[0])
    parts = re.compile(r"[,;](?=\s)")  # a comma without a blank after it is a decimal comma
    words = (
        f"{family_name} values with their units, separated by commas: {example}; each {least:g} to {most:g} {one.base}"
    )
    return Shape(
        words, lambda text: tuple(one.parse(part.strip()) for part in parts.split(text) if part.strip()),
        {"type": ["string", "array"]}, listing=True, base=one.base,
    )  # fmt: skip


def parse_level_reference(text: str) -> Alignment:
    """Return a level reference; its analogue level lies between -20 and +30 dBu."""
    try:
        found = parse_alignment(text)
    except QuantityError as problem:
        raise FieldError(str(problem)) from None
    if not -20 <= found.level_dbu <= 30:
        raise FieldError(f"'{text}': the analogue level is outside -20..30 dBu")
    return found


def span(family_name: str, example: str) -> Shape:
    """Return the shape of a span '-11..-6 dBm': (least, most) in the family's base unit."""
    family = FAMILIES[family_name]

    def parse(text: str) -> tuple[float, float]:
        low, dots, high = text.partition("..")
        unit = high.strip().lstrip("+-−0123456789.,").strip()
        try:
            least = parse_quantity(low if not low.strip()[-1:].isdigit() else f"{low} {unit}", family)
            most = parse_quantity(high if dots else low, family)
        except QuantityError as problem:
            raise FieldError(str(problem)) from None
        if not dots or least > most:
            raise FieldError(f"'{text}' is no span; write it as {example}")
        return least, most

    return Shape(f"a span of {family.name}, such as {example}", parse, {"type": "string"}, base=family.base)


def parse_lengths(text: str) -> tuple[float, ...]:
    """Return the pieces of a cable in metres: '85 m' is one, '85 m + 30 m' are two, joined."""
    pieces = [piece.strip() for piece in text.split("+")]
    unit = pieces[-1].lstrip("0123456789.,").strip()
    try:
        lengths = tuple(
            parse_quantity(piece if not piece[-1:].isdigit() else f"{piece} {unit}", FAMILIES["length"])
            for piece in pieces
        )
    except QuantityError as problem:
        raise FieldError(str(problem)) from None
    if any(length <= 0 for length in lengths):
        raise FieldError(f"'{text}': a length is above zero")
    return lengths


def choice(*words: str) -> Shape:
    """Return the shape of one word out of a few."""
    known = {word.lower(): word for word in words}

    def parse(text: str) -> str:
        if text.lower() not in known:
            raise FieldError(f"'{text}' is none of {', '.join(words)}")
        return known[text.lower()]

    return Shape("one of " + ", ".join(f"`{word}`" for word in words), parse, {"enum": list(words)})


def naming(table: str, article: str = "the name of a") -> Shape:
    """Return the shape of a name that stands for a thing of another table."""
    return Shape(f"{article} {table}", parse_name, {"type": ["string", "integer"]}, names=table)


def naming_many(table: str, words: str = "") -> Shape:
    """Return the shape of a list of names, ranges allowed, of another table."""
    listed = {"type": ["string", "integer", "array"]}
    said = words or f"names of {table}s, ranges allowed: `6..9, 15`"
    return Shape(said, parse_names, listed, listing=True, names=table)


def naming_mix(table: str, words: str) -> Shape:
    """Return the shape of a list of names with a minus behind it."""
    return Shape(words, parse_mix, {"type": ["string", "integer", "array"]}, listing=True, names=table)


def mapping(shape: Shape, words: str, *, bare: bool = False) -> Shape:
    """Return the shape of a mapping whose values have another shape."""
    schema = {"type": ["object", "array", "string"] if bare else "object"}
    item = Shape(words, shape.parse, schema, shape.listing, names=shape.names)
    return Shape(
        words, shape.parse, schema, shape.listing, mapped=True, names=shape.names, base=shape.base, bare=bare, item=item
    )


STRING: dict[str, Any] = {"type": ["string", "number", "integer"]}


def parse_dip(text: str) -> str:
    """Return how far a mix falls: 'mute', 'mix' (it stays) or decibels as '12 dB'."""
    word = text.strip().lower()
    if word in {"mute", "mix"}:
        return word
    try:
        down_db = abs(parse_quantity(text, FAMILIES["gain"]))
    except QuantityError as problem:
        raise FieldError(f"{problem}; or write mute, or mix where the mix stays as it is") from None
    if not 0 < down_db <= DIP_MAX_DB:
        raise FieldError(f"'{text}' is no dip: write up to {DIP_MAX_DB} dB, mute, or mix where the mix stays as it is")
    return f"{down_db:g} dB"


DIP_MAX_DB = 60
DIP = Shape("`12 dB`, `mute`, or `mix` where the mix stays as it is", parse_dip, {"type": "string"})
TEXT = Shape("any text", str, STRING)
NAME = Shape("a name", parse_name, STRING)
NAMES = Shape("names, ranges allowed: `6..9, 15`", parse_names, {"type": ["string", "integer", "array"]}, listing=True)
YES_NO = Shape("`on` or `off` (also yes, no)", parse_yes_no, {"type": ["boolean", "string", "integer"]})
ADDRESS = Shape("an IPv4 address, or `dhcp`", parse_address, {"type": "string"})
SUBNET = Shape("an IPv4 subnet such as 10.41.20.0/24", parse_subnet, {"type": "string"})
SUBNETS = Shape("IPv4 subnets, separated by commas", parse_subnets, {"type": ["string", "array"]}, listing=True)
ADDRESS_RANGE = Shape("a range of addresses such as 10.41.30.100-199", parse_address_range, {"type": "string"})
MAC = Shape("a MAC address such as 02:00:00:52:70:50", parse_mac, {"type": "string"})
DAY = Shape("a day, written 2027-11-20", parse_day, {"type": "string"}, dated=True)
MOMENT = Shape("a day and time, written 2027-11-20 16:20", parse_moment, {"type": "string"}, dated=True)
LENGTHS = Shape(
    "a length with its unit; joined pieces with a plus: `85 m + 30 m`", parse_lengths, {"type": "string"}, base="m"
)
ALIGNMENT = Shape(
    "a level reference such as `-18 dBFS = 0 dBu`; an analogue level alone is that of -18 dBFS",
    parse_level_reference,
    {"type": "string"},
)
PORT = Shape("a jack or port as DEVICE/PORT, such as `SB-1/5`", parse_name, {"type": "string"}, names="port")
PORTS = Shape("jacks or ports, ranges allowed: `SB-1/1..4`", parse_names, STRING, listing=True, names="port")
