"""Numbers as people read them. A number is worded once, here, whatever face shows it."""

MINUS = "-"


def plain(value: float, digits: int = 3) -> str:
    """Return a number without needless zeros: 0.375, 150, -14.1."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def worded(value: float, base: str) -> str:
    """Return a quantity given in a base unit as people write it: (0.000375, 's') -> '0.375 ms'."""
    match base:
        case "s":
            return worded_time(value)
        case "bit/s":
            return worded_rate(value)
        case "dBu" | "dBFS" | "dBm":
            return f"{'+' if value > 0 else ''}{plain(value, 2)} {base}"
        case "Hz":
            return f"{plain(value / 1e3)} kHz" if value >= 1e3 else f"{plain(value)} Hz"
        case _:
            return f"{plain(value)} {base}"


def worded_time(seconds: float) -> str:
    """Return a time in the unit the trade uses for its size."""
    size = abs(seconds)
    if size == 0:
        return "0 s"
    if size < 1e-4:
        return f"{plain(seconds * 1e6)} us"
    if size < 1:
        return f"{plain(seconds * 1e3)} ms"
    return f"{plain(seconds)} s"


def worded_rate(bits: float) -> str:
    """Return a bit rate in Mb/s or Gb/s."""
    return f"{plain(bits / 1e9)} Gb/s" if bits >= 1e9 else f"{plain(bits / 1e6)} Mb/s"


def counted(number: int, noun: str, plural: str = "") -> str:
    """Return '1 line', '14 lines'."""
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def listed(names: list[str] | tuple[str, ...], most: int = 8) -> str:
    """Return names as a spoken list, cut with a count where it is long: 'A, B and 3 more'."""
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    if len(names) > 1:
        return f"{', '.join(names[:-1])} and {names[-1]}"
    return "".join(names)
