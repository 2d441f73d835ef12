"""A cable's plug does not fit the jack.

What it finds: a plugged audio cable whose end is at a data, video or other port, or a data, fibre or video cable at an
audio jack.
Why it matters: nothing passes, and the cable that belongs there is missing.
Example: M-05, a mic cable, ends in SB-1/audio, a network port.
Fix: correct the end or the kind of the cable.
Does not find: connectors of one family that differ in size or sex.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import FITS, wiring
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of

RULE = Rule("plug-does-not-fit", "chain", Severity.ERROR, __doc__)
AUDIO = frozenset({"analogue", "loudspeaker", "digital audio"})
AUDIO_JACKS = frozenset({"analogue", "digital"})


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an audio cable or audio jack whose cable is plugged and known."""
    for name, cable in ask.model.cables.items():
        kind = ask.model.cable_kind(name)
        if kind is None or cable.state != "plugged":
            continue
        ends = [(end, ask.model.port_kind(end)) for end in ask(wiring).ends[name] if end]
        known = [(end, port.medium) for end, port in ends if port is not None]
        if not known or (kind.medium not in AUDIO and not any(medium in AUDIO_JACKS for _, medium in known)):
            continue
        says = f"{name} fits its jacks"
        wrong = [(end, medium) for end, medium in known if medium not in FITS.get(kind.medium, (medium,))]
        yield misfit(ask, name, says, *wrong[0]) if wrong else RULE.holds(name, says)


def misfit(ask: Ask, name: str, says: str, end: str, medium: str) -> Claim:
    """Return the claim of a cable that does not fit a jack."""
    cable = ask.model.cables[name]
    device = ask.model.devices[device_of(end)]
    attribute = "end_a" if ask(wiring).ends[name][0] == end else "end_b"
    jack = "an audio jack" if medium in AUDIO_JACKS else f"a {medium} port"
    return RULE.broken(
        name,
        says,
        spot=cable.at.spot(attribute),
        message=f"{name} is a {cable.kind} cable; {end} is {jack}",
        because=[Because(device.at.spot("kind"), f"{device.id} is a {device.kind}")],
        fix=f"correct the end or the kind of {name}",
        breaks=[f"cable {name}"],
    )
