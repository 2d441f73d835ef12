"""Who may do what: look, tick, edit. Tokens, codes, sessions that outlive a restart, and limits on guessing and on rate."""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import re
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

LOOK, TICK, EDIT = "look", "tick", "edit"
RANK = {LOOK: 0, TICK: 1, EDIT: 2}
FILE = "access.json"
COOKIE = "tailboard"
SESSION_S = 14 * 24 * 3600  # a show with its rigging days
EDIT_SESSION_S = 12 * 3600  # one working day
CODE_DIGITS = 8
GUESSES_MAX = 10  # wrong tokens or codes of one address ...
GUESSES_S = 60.0  # ... in this time
WRITES_PER_S = 20.0  # of one session: a phone that catches up sends a few large lists
WRITES_AT_ONCE = 60
KEYS_MAX = 10_000  # addresses and sessions remembered at most
_HEX = re.compile(r"[0-9a-f]{64}")
_TOKEN = re.compile(r"[A-Za-z0-9_-]{16,64}")

Clock = Callable[[], float]


@dataclass(frozen=True, slots=True)
class Session:
    """One page's session. `name` is empty for one that has not joined; it tells sessions apart and is no secret."""

    role: str = LOOK
    name: str = ""

    def may(self, role: str) -> bool:
        """Return whether it may do what a role does."""
        return RANK[self.role] >= RANK[role]


NOBODY = Session()


@dataclass(frozen=True, slots=True)
class Keys:
    """What is kept of a show: the key that signs sessions, and the token by which phones join."""

    secret: str
    tick: str


def keys_of(folder: Path) -> Keys:
    """Return the keys of a show, made where there are none. The file is for its owner alone. Raises OSError."""
    path = folder / FILE
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        keys = Keys(str(told["secret"]), str(told["tick"]))
        if _HEX.fullmatch(keys.secret) and _TOKEN.fullmatch(keys.tick):
            return keys
    except (ValueError, KeyError, TypeError, FileNotFoundError):
        pass
    keys = Keys(secrets.token_hex(32), secrets.token_urlsafe(16))
    folder.mkdir(parents=True, exist_ok=True)
    new = folder / f".{FILE}.new"
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as file:
        json.dump({"secret": keys.secret, "tick": keys.tick}, file)
    new.replace(path)
    return keys


class Access:
    """Checks tokens, codes and sessions. The code for editing is new each time the server starts."""

    def __init__(self, keys: Keys, clock: Clock = time.time) -> None:
        self.keys, self._clock = keys, clock
        self.code = "".join(secrets.choice("0123456789") for _ in range(CODE_DIGITS))
        self.guesses = Buckets(GUESSES_MAX / GUESSES_S, GUESSES_MAX, clock)
        self.writes = Buckets(WRITES_PER_S, WRITES_AT_ONCE, clock)

    def join(self, address: str, token: str) -> str | None:
        """Return the cookie of a new session that ticks, None for a wrong token or after too many wrong ones."""
        return self._opened(address, token, self.keys.tick, TICK, SESSION_S)

    def unlock(self, address: str, code: str) -> str | None:
        """Return the cookie of a new session that edits, None for a wrong code or after too many wrong ones."""
        return self._opened(address, code.replace(" ", ""), self.code, EDIT, EDIT_SESSION_S)

    def may_guess(self, address: str) -> bool:
        """Return whether an address has not guessed wrongly too often."""
        return self.guesses.left(address) >= 1

    def _opened(self, address: str, given: str, right: str, role: str, life_s: int) -> str | None:
        """Return a new cookie for what was given."""
        if not self.may_guess(address):
            return None
        if not hmac.compare_digest(given.encode("utf-8", "replace"), right.encode()):
            self.guesses.take(address)
            return None
        return self.cookie(role, int(self._clock()) + life_s)

    def cookie(self, role: str, until_s: int) -> str:
        """Return a signed cookie."""
        said = f"{role}.{secrets.token_hex(8)}.{until_s}"
        return f"{said}.{self.signed('session', said)}"

    def session(self, cookie: str) -> Session:
        """Return the session of a cookie; nobody's where it is wrong or too old."""
        said, _, sign = cookie.rpartition(".")
        if not said or not hmac.compare_digest(sign.encode("utf-8", "replace"), self.signed("session", said).encode()):
            return NOBODY
        role, name, until_s = said.split(".")
        return Session(role, name) if int(until_s) > self._clock() else NOBODY

    def csrf(self, session: Session) -> str:
        """Return what a page of the session sends with each change, and a page of another site cannot know."""
        return self.signed("csrf", session.name)[:32]

    def signed(self, purpose: str, text: str) -> str:
        """Return the signature of a text."""
        return hmac.new(
            bytes.fromhex(self.keys.secret), f"{purpose}:{text}".encode("utf-8", "replace"), hashlib.sha256
        ).hexdigest()


class Buckets:
    """A bucket of tokens for each key, filled at a steady rate."""

    def __init__(self, rate_per_s: float, most: int, clock: Clock) -> None:
        self._rate_per_s, self._most, self._clock = rate_per_s, most, clock
        self._levels: dict[str, tuple[float, float]] = {}
        self._swept_s = 0.0
        self._lock = threading.Lock()

    def left(self, key: str) -> float:
        """Return what is in a bucket now."""
        level, seen_s = self._levels.get(key, (self._most, 0.0))
        return min(self._most, level + max(0.0, self._clock() - seen_s) * self._rate_per_s)

    def _swept(self) -> bool:
        """Forget the buckets that are full again, at most once a second; return whether there is room."""
        if self._clock() >= self._swept_s + 1:
            self._swept_s = self._clock()
            self._levels = {name: old for name, old in self._levels.items() if self.left(name) < self._most}
        return len(self._levels) < KEYS_MAX

    def take(self, key: str) -> bool:
        """Take one token; return whether there was one."""
        with self._lock:
            level = self.left(key)
            if key not in self._levels and len(self._levels) >= KEYS_MAX and not self._swept():
                return False
            self._levels[key] = (max(0.0, level - 1) if level >= 1 else level, self._clock())
            return level >= 1
