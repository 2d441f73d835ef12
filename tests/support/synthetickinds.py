"""How large a generated show is: the kinds it is built of. Small shows use the built-in kinds, large ones their own.

Every figure of the own kinds is invented for the generator.
"""

from __future__ import annotations

from dataclasses import dataclass

CONSOLE_STRIPS = 96  # strips of the built-in console
SMALL_LINES_MAX = 80  # above this, reserves and spares no longer fit the built-in console
SMALL_SITES_MAX = 4  # cages of the built-in truck switch


@dataclass(frozen=True)
class Scale:
    """The kinds of one show and what fits them."""

    box: str = "stage-box-24x12"
    holes: int = 24
    outputs: int = 12
    console: str = "console-96"
    truck_switch: str = "switch-16-copper-4-sfp"
    site_switch: str = "switch-8-copper-2-sfp"
    truck_copper: int = 16
    truck_cages: int = 4
    site_copper: int = 8
    base: str = "intercom-base"
    recorder: str = "recorder-32"
    tracks: int = 32
    optics: tuple[str, str] = ("O1S-U", "O1S-D")
    boxes_per_site: int = 2
    text: str = ""


def scale_of(lines: int) -> Scale:
    """Return the kinds for a number of lines."""
    if lines <= SMALL_LINES_MAX:
        return Scale()
    boxes = -(-lines // 48)  # boxes of 64 holes are filled to three quarters
    sites = -(-boxes // 2)
    fast = "10 G" if lines <= 2000 else "100 G"
    return Scale(
        box="own-box-64x32",
        holes=64,
        outputs=32,
        console="own-console",
        truck_switch="own-switch-truck",
        site_switch="own-switch-site",
        truck_copper=48,
        truck_cages=sites + 4,
        site_copper=24,
        base="own-base",
        recorder="own-recorder",
        tracks=lines + 64,
        optics=("own-optic-up", "own-optic-down"),
        text=own_kinds(lines, sites, fast),
    )


def own_kinds(lines: int, sites: int, fast: str) -> str:
    """Return the YAML of the kinds of a large show."""
    # long: one YAML text, with three figures put into it
    return f"""\
kinds:
  own-console:
    role: console
    mixes: yes
    figures: data sheet of the generator
    strips: {lines + 32}
    send channels: {lines + 64}
    receive channels: {lines + 64}
    streams out: {lines // 4 + 64}
    streams in: {lines // 4 + 64}
    channels per stream: 8
    packet time: 0.125 ms
    display: 8
    processing: 1.0 ms
    release jitter: 10 us
    before play-out: 10 us
    ports:
      a1..8: {{way: in, level: line +4 dBu, clip: +18 dBu, converter: 0.5 ms}}
      o1..8: {{way: out, level: line +4 dBu, clip: +18 dBu, converter: 0.5 ms}}
      audio: {{medium: network, way: both, rate: {fast}}}
      control: {{medium: network, way: both, rate: 1 G}}
  own-box-64x32:
    role: box
    figures: data sheet of the generator
    send channels: 64
    receive channels: 32
    streams out: 12
    streams in: 8
    channels per stream: 8
    packet time: 0.125 ms
    display: 8
    release jitter: 10 us
    before play-out: 10 us
    ports:
      1..64: {{way: in, level: mic, clip: +18 dBu, gain: 0..60 dB, 48V: yes, converter: 0.5 ms}}
      o1..32: {{way: out, level: line +4 dBu, clip: +18 dBu, converter: 0.5 ms}}
      audio: {{medium: network, way: both, rate: 1 G}}
    paths:
      1..64: send 1..64
      receive 1..32: o1..32
  own-recorder:
    role: recorder
    figures: data sheet of the generator
    receive channels: {lines + 64}
    streams in: {lines // 4 + 64}
    tracks: {lines + 64}
    before play-out: 10 us
    ports:
      audio: {{medium: network, way: both, rate: {fast}}}
  own-base:
    role: intercom base
    figures: data sheet of the generator
    stations: {sites * 8 + 24}
    ports:
      net: {{medium: network, way: both, rate: 1 G}}
      "4W1in, 4W2in, 4W3in, 4W4in": {{way: in, level: line +4 dBu, clip: +18 dBu}}
      "4W1out, 4W2out, 4W3out, 4W4out": {{way: out, level: line +4 dBu, clip: +18 dBu}}
  own-switch-truck:
    role: switch
    figures: data sheet of the generator
    forwarding: 5 us
    queues: 4
    PoE budget: 400 W
    ports:
      1..44: {{medium: network, way: both, rate: 1 G, PoE source: yes}}
      45..48: {{medium: network, way: both, rate: {fast}}}
      S1..{sites + 4}: {{medium: cage, way: both, rate: {fast}}}
  own-switch-site:
    role: switch
    figures: data sheet of the generator
    forwarding: 5 us
    queues: 4
    PoE budget: 200 W
    ports:
      1..24: {{medium: network, way: both, rate: 1 G, PoE source: yes}}
      S1..2: {{medium: cage, way: both, rate: {fast}}}
optics:
  own-optic-up: {{rate: {fast}, TX: 1310 nm, RX: 1490 nm, TX power: -11..-6 dBm, RX power: -19.5..-3 dBm, figures: data sheet of the generator}}
  own-optic-down: {{rate: {fast}, TX: 1490 nm, RX: 1310 nm, TX power: -11..-6 dBm, RX power: -19.5..-3 dBm, figures: data sheet of the generator}}
"""
