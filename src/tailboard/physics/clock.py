"""The clock of IEEE 1588: which of two data sets is better and why, what a port then does, and slips without a clock."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

# IEEE 1588-2008 Annex J, default profile, as the values stand in linuxptp configs/default.cfg.
DEFAULT_PRIORITY = 128
DEFAULT_CLASS = 248
DEFAULT_ACCURACY = 0xFE
DEFAULT_VARIANCE = 0xFFFF
FOLLOWER_ONLY_CLASS = 255  # IEEE 1588-2008 Table 5 (second-hand)
PRIMARY_CLASS_MAX = 127  # IEEE 1588-2008 9.3.3: a clock of class 1..127 never follows; linuxptp bmc.c

CLASS_WORDS = {
    6: "locked to a primary reference",
    7: "was locked to a primary reference, in holdover",
    13: "locked to an application's reference",
    14: "was locked to an application's reference, in holdover",
    248: "the default",
    255: "follower only",
}  # IEEE 1588-2008 Table 5; 7, 14, 248 and 255 second-hand, 6 and 13 from memory

ACCURACY_WORDS = dict(
    enumerate(
        (
            "25 ns", "100 ns", "250 ns", "1 us", "2.5 us", "10 us", "25 us", "100 us", "250 us", "1 ms", "2.5 ms",
            "10 ms", "25 ms", "100 ms", "250 ms", "1 s", "10 s", "more than 10 s",
        ),
        0x20,
    )
) | {0xFE: "unknown"}  # fmt: skip  # IEEE 1588-2008 Table 6, read in several independent copies


class By(Enum):
    """What decides between two data sets, in the order of comparison; the value is the word a reader sees."""

    PRIORITY1 = "priority1"
    CLASS = "clock class"
    ACCURACY = "clock accuracy"
    VARIANCE = "clock variance"
    PRIORITY2 = "priority2"
    IDENTITY = "clock identity"
    STEPS = "steps removed"
    TOPOLOGY = "topology"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class DataSet:
    """What is compared of a clock: its grandmaster's figures, and the way by which they came. Lower figures win.

    identity       EUI-64 of the grandmaster, 8 bytes; empty where it is not known.
    steps_removed  boundary clocks between the grandmaster and the sender.
    sender         identity and port number of the port that sent it; receiver: of the port that got it. 10 bytes each.
    """

    priority1: int = DEFAULT_PRIORITY
    clock_class: int = DEFAULT_CLASS
    accuracy: int = DEFAULT_ACCURACY
    variance: int = DEFAULT_VARIANCE
    priority2: int = DEFAULT_PRIORITY
    identity: bytes = b""
    steps_removed: int = 0
    sender: bytes = b""
    receiver: bytes = b""

    @property
    def figures(self) -> tuple[int, int, int, int, int]:
        """The figures before the identity, in the order in which they are compared."""
        return self.priority1, self.clock_class, self.accuracy, self.variance, self.priority2


@dataclass(frozen=True, slots=True)
class Comparison:
    """Which of two data sets is better: -1 the first, 1 the second, 0 neither can be told; and what decided it."""

    sign: int
    by: By

    @property
    def by_topology(self) -> bool:
        """Whether both name the same grandmaster and only the way differs."""
        return self.by is By.TOPOLOGY


BY_FIGURE = (By.PRIORITY1, By.CLASS, By.ACCURACY, By.VARIANCE, By.PRIORITY2)


def compared(first: DataSet, second: DataSet) -> Comparison:
    """Return which of two data sets is better, and what decides.

    Source: IEEE 1588-2008 9.3.4, Figures 27 and 28, as linuxptp bmc.c dscmp() and dscmp2() have it.
    Check (derived from that code): priority1 128 with class 6 loses against priority1 127 with class 248.
    An identity that is not known decides nothing: the sign is then 0, by the clock identity.
    """
    if first.identity and first.identity == second.identity:
        return same_leader(first, second)
    for by, ours, theirs in zip(BY_FIGURE, first.figures, second.figures, strict=True):
        if ours != theirs:
            return Comparison(-1 if ours < theirs else 1, by)
    if not first.identity or not second.identity:
        return Comparison(0, By.IDENTITY)
    return Comparison(-1 if first.identity < second.identity else 1, By.IDENTITY)


def same_leader(first: DataSet, second: DataSet) -> Comparison:
    """Return which way to one grandmaster is better. Source: IEEE 1588-2008 Figure 28; linuxptp bmc.c dscmp2().

    Check (derived from that code): 1 step beats 3 outright; 1 against 2 looks at the ports of the longer way.
    """
    apart = first.steps_removed - second.steps_removed
    if abs(apart) > 1:
        return Comparison(-1 if apart < 0 else 1, By.STEPS)
    if apart:
        longer = second if apart < 0 else first
        if longer.receiver == longer.sender:
            return Comparison(0, By.NOTHING)  # 'error-1': a port heard itself
        by = By.STEPS if longer.receiver < longer.sender else By.TOPOLOGY
        return Comparison(-1 if apart < 0 else 1, by)
    for ours, theirs in ((first.sender, second.sender), (first.receiver[8:], second.receiver[8:])):
        if ours != theirs:
            return Comparison(-1 if ours < theirs else 1, By.TOPOLOGY)
    return Comparison(0, By.NOTHING)  # 'error-2': the same message twice


class Code(Enum):
    """The decision codes of IEEE 1588-2008 Figure 26, as linuxptp bmc.c prints them beside each return."""

    LISTENING = "listening"
    M1 = "M1"
    M2 = "M2"
    M3 = "M3"
    P1 = "P1"
    P2 = "P2"
    S1 = "S1"

    @property
    def words(self) -> str:
        """What the port does, in words."""
        return CODE_WORDS[self]


CODE_WORDS = {
    Code.LISTENING: "hears no leader and may not lead",
    Code.M1: "leads: a reference clock, and the best here",
    Code.M2: "leads: the best of all it hears",
    Code.M3: "passes the leader's time on",
    Code.P1: "is silent: a reference clock, but a better one is here",
    Code.P2: "is silent: a better way to the same leader is here",
    Code.S1: "follows",
}


def state_decision(own: DataSet, best_here: DataSet | None, best_of_all: DataSet | None) -> Code:
    """Return what a port of a clock does.

    own          the clock's own data set; class 255 may never lead.
    best_here    the best other clock heard on this port, or None.
    best_of_all  the best other clock heard on any port of the clock; the same object as `best_here` on an ordinary clock.

    Source: IEEE 1588-2008 9.3.3, Figure 26, as linuxptp bmc.c bmc_state_decision() has it.
    A follower-only clock follows whatever is best, or listens (9.2.2).
    """
    if own.clock_class == FOLLOWER_ONLY_CLASS:
        return Code.LISTENING if best_here is None else Code.S1
    if own.clock_class <= PRIMARY_CLASS_MAX:
        return Code.M1 if best_here is None or compared(own, best_here).sign < 0 else Code.P1
    if best_of_all is None or compared(own, best_of_all).sign < 0:
        return Code.M2
    if best_here is best_of_all:
        return Code.S1
    way = None if best_here is None else compared(best_of_all, best_here)
    return Code.P2 if way is not None and way.sign < 0 and way.by_topology else Code.M3


def identity_of_mac(mac: str) -> bytes:
    """Return the clock identity that a hardware address gives: FF FE in its middle.

    Source: IEEE 1588-2008 7.5.2.2 as linuxptp util.c has it.
    Check: 39-A7-94-07-CB-D0 gives 39-A7-94-FF-FE-07-CB-D0, the identity in RFC 7273's examples.
    Raises ValueError where the text is no hardware address of six bytes.
    """
    plain = bytes.fromhex(mac.replace("-", "").replace(":", "").replace(".", ""))
    if len(plain) != 6:
        raise ValueError(f"not six bytes: {mac}")
    return plain[:3] + b"\xff\xfe" + plain[3:]


PULL = (
    1001 / 1000
)  # between the frame rates 30 and 30/1.001 per second: SMPTE ST 318 and AES11 speak of both (from memory)


def is_pulled(one_hz: float, other_hz: float) -> bool:
    """Return whether two sample rates are those of one programme at picture rates that part by 1001 to 1000.

    >>> is_pulled(48000, 48000 / 1.001), is_pulled(47952, 48000), is_pulled(44100, 48000)
    (True, True, False)
    """
    ratio = max(one_hz, other_hz) / min(one_hz, other_hz)
    return abs(ratio - PULL) < 1e-5  # 47952 Hz is written for 47952.05 Hz


def slip_interval_s(rate_hz: float, apart_ppm: float) -> float:
    """Return the time after which two clocks that run apart have lost or repeated one sample. [s]

        t = 1 / (rate x difference)

    rate_hz    sample rate, above zero. [Hz]
    apart_ppm  difference of the two clocks, above zero. [parts per million]

    Source: arithmetic. Check (hand): 48 kHz, 10 ppm -> 2.08 s.
    >>> round(slip_interval_s(48e3, 10.0), 2)
    2.08
    """
    if min(rate_hz, apart_ppm) <= 0:
        raise ValueError(f"not above zero: {rate_hz} Hz, {apart_ppm} ppm")
    return 1.0 / (rate_hz * apart_ppm * 1e-6)
