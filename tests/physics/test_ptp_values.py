"""Published values of the network clock (section 2) that are no matter of bytes.

PTP-11 to PTP-16, PTP-18, PTP-24 and PTP-25 stand in test_clock.py, PTP-02 to PTP-10, PTP-26 and PTP-27 in wire/test_ptp.py.

Not computed by any code of this project, and why:

| id | why |
|---|---|
| PTP-18, the intervals, the timeout and the TTL | nothing here waits for messages or sends any; the figures compared are covered |
| PTP-21 | a setting of each device that no plan states; that -3 makes 8 a second is checked with PTP-28 |
| PTP-22 | from memory, and vendors disagree: no limit may rest on it |
"""

from __future__ import annotations

import pytest

from tailboard.model.records import Clock
from tailboard.physics import ethernet
from tailboard.physics.clock import ACCURACY_WORDS, CLASS_WORDS, DataSet
from tailboard.text.fields import columns_of
from tailboard.text.shapes import FieldError
from tailboard.wire.ptp import Exchange, Header, Kind, Moment, Port


def test_sync_traffic_of_one_leader() -> None:
    """PTP-28 (arithmetic): 8 messages a second of 44 bytes over UDP and IPv4, untagged: 110 bytes each, 7040 bit/s.

    PTP-21: 8 a second is -3 as a power of two (AES67 Annex A, second-hand).
    """
    interval_s = Header(Port(bytes(8), 1), log_interval=-3).interval_s
    assert interval_s is not None
    wire_bytes = ethernet.wire_bytes(ethernet.udp_frame_bytes(Kind.SYNC.size_bytes, tagged=False))
    assert wire_bytes == 110
    assert 8 * wire_bytes / interval_s == 7040


def test_the_accuracies_in_order() -> None:
    """PTP-24: IEEE 1588-2008 Table 6, all of it, as it stands in several independent public copies (read)."""
    published = (
        "25 ns,100 ns,250 ns,1 us,2.5 us,10 us,25 us,100 us,250 us,1 ms,2.5 ms,10 ms,25 ms,100 ms,250 ms,1 s,10 s"
    )
    assert [ACCURACY_WORDS[code] for code in range(0x20, 0x31)] == published.split(",")
    assert (ACCURACY_WORDS[0x31], ACCURACY_WORDS[0xFE]) == ("more than 10 s", "unknown")


def test_all_classes_have_words() -> None:
    """PTP-25: IEEE 1588-2008 Table 5 (second-hand; 6 and 13 from memory): locked, holdover, default, follower only."""
    words = {code: "holdover" in text for code, text in CLASS_WORDS.items()}
    assert words == {6: False, 7: True, 13: False, 14: True, 248: False, 255: False}


def test_domain_and_priorities_of_the_media_profile() -> None:
    """PTP-19: AES67 Annex A: domain 0 (0..127), both priorities 128 (0..255): a network vendor's page, second-hand."""
    columns = {column.name: column for column in columns_of(Clock)}
    assert (columns["domain"].default, DataSet().priority1, columns["priority2"].default) == (0, 128, 128)
    for name, last in (("domain", 127), ("priority1", 255), ("priority2", 255)):
        shape = columns[name].shape
        assert shape is not None
        assert (shape.parse("0"), shape.parse(str(last))) == (0, last)
        for outside in ("-1", str(last + 1)):
            with pytest.raises(FieldError, match="outside"):
                shape.parse(outside)


@pytest.mark.parametrize(("there_ns", "back_ns"), [(1500, 500), (500, 1500), (700, 700), (0, 2_000_000)])
def test_the_error_is_half_of_what_the_ways_differ_by(there_ns: int, back_ns: int) -> None:
    """PTP-27 as a law (IEEE 1588-2008 7.4.2): clocks in step, error (forward - reverse)/2, mean delay (forward + reverse)/2."""
    sent, asked = 1_000_000, 9_000_000
    exchange = Exchange(Moment(5, sent), Moment(5, sent + there_ns), Moment(5, asked), Moment(5, asked + back_ns))
    assert exchange.offset_s == pytest.approx((there_ns - back_ns) / 2 * 1e-9, rel=1e-12)
    assert exchange.path_delay_s == pytest.approx((there_ns + back_ns) / 2 * 1e-9, rel=1e-12)
