"""A device fed by PoE needs more at the port than its class is given, once its cable has taken its part.

What it finds: a powered device whose stated power, with what its cable turns into heat, is above what a port gives to its
class. Joined pieces are added up; a cable without a length is taken as 100 m. A stated power equal to that of the class
is taken as one at the port.
Why it matters: it runs on the bench with a short cable, and is cut off at the end of a long one.
Example: a camera of class 3 that draws 14 W over 85 m needs 16.35 W at the port, which gives 15.4 W.
Fix: a shorter cable, a device or port of a higher class, or a supply of its own.
Does not find: warm cables, thin cords and bad contacts, which lose more. It is not a safety statement.
Source: least voltage and resistance of a run of 100 m, IEEE 802.3, second-hand and from memory (see
tailboard/physics/poe.py); Ohm's law.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network_poe import Fed, feedings
from tailboard.answers.wiring import wiring
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.physics.copper import CHANNEL_M_MAX, run_m
from tailboard.physics.poe import needed_w, run_ohm, source_v
from tailboard.rules.power.common import NONE_LISTED
from tailboard.units.wording import plain

RULE = Rule("poe-lost-in-cable", "power", Severity.WARNING, __doc__, vouches=False)
ROUNDING = 1.002  # the published powers at the device are rounded by up to this


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device that is fed by PoE, of which power and class are known and fit each other."""
    for feeding in ask(feedings).values():
        for fed in feeding.fed:
            jack = ask.model.port_kind(ask(wiring).far_end(fed.cable, fed.port) or "")
            poe_class = jack.poe_class if jack is not None else None
            if poe_class is None or fed.stated_w is None or fed.class_w is None:
                continue
            if (
                fed.stated_w < fed.class_w
            ):  # a figure equal to that of the class is one at the port; above: poe-class-exceeded
                yield judged(ask.model, fed, poe_class, fed.stated_w, fed.class_w)


def judged(model: Model, fed: Fed, poe_class: int, stated_w: float, class_w: float) -> Claim:
    """Return the claim on one device."""
    cable, kind = model.cables[fed.cable], model.kind_of(fed.device)
    length_m = CHANNEL_M_MAX if cable.pieces_m is None else run_m(cable.pieces_m)
    resistance_ohm = run_ohm(poe_class) * length_m / CHANNEL_M_MAX
    drawn_w = needed_w(stated_w, source_v(poe_class), resistance_ohm)
    says = f"{NONE_LISTED}: a device whose power is lost in {fed.cable} ({fed.device}, {plain(stated_w)} W)"
    taken = f"{plain(length_m)} m" if cable.pieces_m is not None else f"{plain(length_m)} m taken, no length is written"
    at_cable = Because(
        cable.at.spot("pieces_m"),
        f"{fed.cable}, {taken}: {plain(resistance_ohm, 2)} ohm at {plain(source_v(poe_class))} V",
    )
    if drawn_w <= class_w * ROUNDING:
        assumed = [f"kind {kind.id}"] if kind.figures.startswith("example value") else []
        return RULE.holds(fed.device, says, assumptions=assumed, evidence=[at_cable])
    needs = f"{plain(drawn_w, 2)} W" if drawn_w < 2 * class_w else "more than it can give"
    return RULE.broken(
        fed.device,
        says,
        spot=cable.at.spot("pieces_m"),
        message=f"{fed.device} ({kind.id}) draws {plain(stated_w)} W at the end of {fed.cable} and needs {needs} at "
        f"{fed.port}, which gives {plain(class_w)} W to class {poe_class}",
        because=[
            at_cable,
            Because(model.devices[fed.device].at.spot("kind"), f"{kind.id}: {plain(stated_w)} W, class {poe_class}"),
        ],
        fix=f"use a shorter cable than {fed.cable}, or feed {fed.device} from a supply of its own; plug and unplug as its maker allows",
        rests_on=[f"device {fed.device}", f"cable {fed.cable}"],
    )
