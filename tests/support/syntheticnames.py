"""Random names for generated shows: unique, never twice the same stem, so that no test depends on one name."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

CONSONANTS = "bcdfghklmnprstvwz"
VOWELS = "aeiou"


@dataclass
class Names:
    """Hands out names that were not given before."""

    rng: random.Random
    used: set[str] = field(default_factory=set)

    def syllables(self, count: int) -> str:
        """Return a word that can be spoken."""
        return "".join(self.rng.choice(CONSONANTS) + self.rng.choice(VOWELS) for _ in range(count))

    def word(self, syllables: int = 3) -> str:
        """Return a new word in lower case."""
        while True:
            found = self.syllables(syllables)
            if found not in self.used:
                self.used.add(found)
                return found

    def capitals(self) -> str:
        """Return a new word in capitals, as VLANs and buses are named."""
        return self.word(2).upper()

    def series(self) -> Series:
        """Return a new stem with numbers behind it, as devices, cables and feeds are named."""
        stem = self.capitals()
        joint = self.rng.choice(["-", "-", ""])
        zeros = self.rng.choice([0, 0, 2]) if joint else 0
        return Series(stem + joint, zeros, self.rng.choice([1, 1, 1, 11, 101]))

    def lines(self) -> Series:
        """Return how lines are numbered: mostly plain numbers."""
        stem = self.rng.choice(["", "", "", self.capitals()])
        return Series(stem, 0, self.rng.choice([1, 1, 1, 21, 301]))

    def label(self) -> str:
        """Return a new label that fits every display of the built-in kinds."""
        text = self.word(3).upper()
        return text[:6] + self.rng.choice(["", " L", " R"])


@dataclass
class Series:
    """Names with running numbers."""

    stem: str
    zeros: int
    next: int

    def one(self) -> str:
        """Return the next name."""
        name = f"{self.stem}{self.next:0{self.zeros}d}" if self.zeros else f"{self.stem}{self.next}"
        self.next += 1
        return name
