"""tailboard: one chain per line, held once in plain text, proven before the truck rolls."""

__version__ = "0.1.0"
