"""The level of a feed, and of a line on its way to an ear: mixes with the noise of all they hold, outputs, inputs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import NOISE, LevelLedger, Walk, line_ledgers, permitted_dbfs
from tailboard.answers.mixing import bits, mixing
from tailboard.answers.signal_edges import Edge
from tailboard.kinds.records import PortKind
from tailboard.model.show import Model, device_of
from tailboard.physics.level import full_scale_dbu
from tailboard.units.wording import listed

PASSES_ON = frozenset({"source", "plug", "cable", "gear"})  # steps that leave a level as it is
PASSES_ON_DIGITAL = frozenset({"stream", "patch", "inside", "output"})  # these do once it is digital
LEAVES, ARRIVES = frozenset({"inside", "output", "stream"}), frozenset({"plug", "cable"})  # by an analogue jack
CLIP_LEVEL = "the clip level of "
ROUNDING_RATIO = 1e-6  # a difference that is less of its whole is too much rounding
UNITY = "every strip, mix and matrix at 0 dB"  # what the plan does not say, and a ledger takes for granted


def feed_ledgers(ask: Ask) -> Iterator[tuple[str, LevelLedger]]:
    """Yield the levels of every feed that leaves by an analogue output, without noise; see `heard_ledger`."""
    return ((name, feed_ledger(ask, name, noise=False)) for name in ask.model.feeds if way_out(ask.model, name))


def heard_ledger(ask: Ask, name: str) -> LevelLedger | None:
    """Return the levels of one feed with its noise, if it leaves by an analogue output.

    The mix has the noise of all lines in it, as their sources and preamplifiers bring it, but those that are open only
    while a key is pressed.
    """
    return feed_ledger(ask, name, noise=True) if way_out(ask.model, name) else None


def way_out(model: Model, name: str) -> str:
    """Return the analogue jack by which a feed leaves first, if it has one."""
    port = next((port for port in model.feeds[name].outputs if model.port_kind(port) is not None), "")
    jack = model.port_kind(port) if port else None
    return port if jack is not None and jack.medium == "analogue" else ""


def feed_ledger(ask: Ask, name: str, *, noise: bool) -> LevelLedger:
    """Return the levels of one feed, its mix at the alignment level, to the jack it arrives at."""
    model = ask.model
    feed, port, alignment = model.feeds[name], way_out(model, name), model.heading.alignment
    jack = model.port_kind(port)
    assert jack is not None
    walk = Walk()
    held = ask(mixing).mixes[f"feed {name}"].mask if noise else 0
    mix_dbfs = noise_dbfs(ask, held, walk) if noise else None
    walk.begin(
        ", ".join(feed.mix), "mix at the alignment level",
        alignment.level_dbfs, permitted_dbfs(alignment), mix_dbfs, digital=True,
    )  # fmt: skip
    devices = [device_of(port)]
    if leaves(walk, port, jack):
        far = next((gear for gear in feed.gear if model.port_kind(gear) is not None), "")
        far_jack = model.port_kind(far) if far else None
        if far_jack is not None and far_jack.medium == "analogue":
            devices.append(device_of(far))
            arrives(model, walk, far, far_jack)
    return LevelLedger(tuple(walk.steps), None, tuple(walk.missing), assumed(ask, held, devices))


def way_ledger(ask: Ask, way: Sequence[Edge]) -> LevelLedger | None:
    """Return the levels of a line along a way as `ways` gives it, as far as the figures go; None where they do not begin.

    Strips, mixes and matrices stand at 0 dB (`UNITY`). A mix adds the noise of all else that it holds.
    """
    name = way[0].start.removeprefix("line ")
    begun = ask(line_ledgers).get(name) if way[0].start != name else None
    if begun is None or not begun.steps[-1].digital:
        return begun and replace(begun, whole=False)
    walk = Walk(list(begun.steps), list(begun.missing))
    hole = ask.model.lines[name].hole
    after = next((place for place, edge in enumerate(way, 1) if edge.start == hole), len(way))
    counted = ask(mixing).set_of(way[0].start)
    devices: list[str] = []
    whole = True
    for edge in way[after:]:
        if edge.step == "mix" and edge.end in ask(mixing).mixes and walk.steps[-1].digital:
            held = ask(mixing).mixes[edge.end].mask
            own_dbfs = noise_dbfs(ask, held, walk, counted)
            counted |= held
            walk.go(edge.end.partition(" ")[2], "mix", 0.0, 0.0, own_dbfs)
        elif not goes_on(ask.model, walk, edge, devices):
            whole = False
            break
    return LevelLedger(tuple(walk.steps), None, tuple(walk.missing), assumed(ask, counted, devices), whole)


def goes_on(model: Model, walk: Walk, edge: Edge, devices: list[str]) -> bool:
    """Take a ledger along a step that is no mix; return whether it goes on behind it."""
    jack, digital = model.port_kind(edge.end), walk.steps[-1].digital
    if jack is not None and jack.medium == "analogue" and edge.step in (LEAVES if digital else ARRIVES):
        devices.append(device_of(edge.end))
        if digital:
            return leaves(walk, edge.end, jack)
        arrives(model, walk, edge.end, jack)
        return True
    if edge.step in PASSES_ON or (digital and edge.step in PASSES_ON_DIGITAL):
        return True
    before = model.port_kind(edge.start)
    # a preamplifier somewhere else than at the hole of a line has a gain that nobody wrote
    turns_dbu = before.clip_dbu if before is not None and before.gain_db is None else None
    if edge.step in PASSES_ON_DIGITAL and jack is None and turns_dbu is not None:
        walk.go(edge.start, "converter", 0.0, 0.0, None, turns_db=turns_dbu)
        return True
    walk.missing.append(f"what {edge.words} does to the level")
    return False


def leaves(walk: Walk, port: str, jack: PortKind) -> bool:
    """Take a ledger out of a converter by an analogue jack; return whether its clip level is written."""
    if jack.clip_dbu is None:
        walk.missing.append(f"{CLIP_LEVEL}{port}")
        return False
    walk.missing += [f"{NOISE}{port}"] if jack.noise_dbu is None else []
    walk.go(port, "converter and output", 0.0, jack.clip_dbu, jack.noise_dbu, turns_db=jack.clip_dbu)
    return True


def arrives(model: Model, walk: Walk, port: str, jack: PortKind) -> None:
    """Take a ledger into an analogue jack."""
    theirs = model.devices[device_of(port)].alignment
    clip_dbu = full_scale_dbu(theirs.level_dbu, theirs.level_dbfs) if theirs is not None else jack.clip_dbu
    walk.go(port, "input", 0.0, clip_dbu, jack.noise_dbu)
    walk.missing += [f"{CLIP_LEVEL}{port}"] if clip_dbu is None else []


@dataclass(frozen=True, slots=True)
class OpenLines:
    """The lines that are open without a key being pressed, by their bits among all that a mix can hold.

    power_ratio_by_bit   noise behind the converter, as a share of full scale; examples: the example figures it rests on.
    known, unknown       the sets of those whose noise is known, and is not.
    """

    power_ratio_by_bit: dict[int, float]
    examples: dict[int, tuple[str, ...]]
    known: int
    unknown: int
    power_ratio_by_mask: dict[int, float] = field(default_factory=dict)
    rests: dict[int, dict[str, None]] = field(default_factory=dict)

    def power_ratio(self, mask: int) -> float:
        """Return the noise of all lines of a set together, as a share of full scale."""
        mask &= self.known
        if mask not in self.power_ratio_by_mask:
            self.power_ratio_by_mask[mask] = sum(self.power_ratio_by_bit[bit] for bit in bits(mask))
        return self.power_ratio_by_mask[mask]

    def examples_of(self, mask: int) -> dict[str, None]:
        """Return the example figures that the noise of a set rests on."""
        mask &= self.known
        if mask not in self.rests:
            self.rests[mask] = dict.fromkeys(key for bit in bits(mask) for key in self.examples[bit])
        return self.rests[mask]


def open_lines(ask: Ask) -> OpenLines:
    """Return the lines that are always open, and their noise."""
    power_ratio_by_bit, examples, unknown = {}, {}, 0
    index = ask(mixing).index
    for name, ledger in ask(line_ledgers).items():
        kind = ask.model.source_kind(name)
        bit = index.get(f"line {name}")
        if bit is None or (kind is not None and kind.keyed):
            continue
        last = ledger.steps[-1]
        if last.digital and last.noise_db is not None:
            power_ratio_by_bit[bit] = 10 ** (last.noise_db / 10)
            examples[bit] = ledger.assumptions
        else:
            unknown |= 1 << bit
    return OpenLines(power_ratio_by_bit, examples, sum(1 << bit for bit in power_ratio_by_bit), unknown)


def noise_dbfs(ask: Ask, mask: int, walk: Walk, counted: int = 0) -> float | None:
    """Return the noise of all lines in a set behind their converters, added as powers; None where there is none. [dBFS]

    counted  lines whose noise the walk has already.

    Lines whose noise is not known are noted as missing.
    """
    lines = ask(open_lines)
    if unknown := mask & ~counted & lines.unknown:
        walk.missing.append(f"{NOISE}{listed(ask(mixing).names(unknown))} behind the converter")
    if not mask & ~counted & lines.known:
        return None
    power_ratio = lines.power_ratio(mask) - lines.power_ratio(mask & counted)
    if power_ratio < ROUNDING_RATIO * lines.power_ratio(mask):
        power_ratio = lines.power_ratio(mask & ~counted)
    return 10 * math.log10(power_ratio)


def assumed(ask: Ask, mask: int, devices: Iterable[str]) -> tuple[str, ...]:
    """Return the assumption keys of lines and devices whose figures are example values."""
    kinds = [ask.model.kind_of(name) for name in devices]
    examples = {f"kind {kind.id}": None for kind in kinds if kind.figures.startswith("example value")}
    return tuple({**ask(open_lines).examples_of(mask), **examples})
