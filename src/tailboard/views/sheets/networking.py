"""The network sheets: VLANs, addresses and ports, streams, and the clock with what happens when something is unplugged."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Clocks, clock, passes_frames
from tailboard.answers.faults_clock import handovers
from tailboard.answers.flows import Flow, flows
from tailboard.answers.network import network
from tailboard.answers.streams import StreamPlan, streams
from tailboard.answers.wiring import wiring
from tailboard.model.records import Stream, Vlan
from tailboard.model.show import device_of
from tailboard.text.ranges import compress
from tailboard.units.wording import counted, plain, worded
from tailboard.views.holes import port_rows
from tailboard.views.sheets.making import table
from tailboard.views.sheets.records import Picture, Row, Sheet, Table, Words

LOSSES_MAX = 16  # things unplugged on the clock sheet: own choice, one page


def network_sheet(ask: Ask) -> Sheet | None:
    """Return VLANs, device addresses and switch ports in three tables; None where there is no network."""
    model = ask.model
    if not model.vlans and not model.switches:
        return None
    tables = (
        table(
            "vlans", "VLANs",
            "vlan:4,=id:2,purpose:6,=subnet:6,=gateway:4,=addresses given out:6,multicast:3,querier:7,marking:3,never reaches:5",
            [vlan_row(name, vlan) for name, vlan in model.vlans.items()],
        ),
        table("addresses", "Addresses", "device:4,place:4,vlan:4,=address:5,=MAC:6,static:3,_seen:3", address_rows(ask)),
        *port_tables(ask),
    )  # fmt: skip
    return Sheet(
        "network", "network", "VLANs, addresses, ports", department="network", wide=True,
        tables=tuple(one for one in tables if one.rows),
    )  # fmt: skip


def vlan_row(name: str, vlan: Vlan) -> Row:
    """Return one VLAN."""
    querier = ", ".join(f"{switch} {address}" for switch, address in (vlan.querier or {}).items())
    cells = (
        name, str(vlan.number), vlan.purpose or vlan.note, str(vlan.subnet or ""), vlan.gateway or "none",
        " to ".join(vlan.dhcp) if vlan.dhcp else "none: static", "snooping" if vlan.snooping else "yes" if vlan.multicast else "no",
        querier, "" if vlan.marking is None else f"DSCP {vlan.marking}", ", ".join(vlan.never_reaches),
    )  # fmt: skip
    return Row(cells, f"vlan {name}")


def address_rows(ask: Ask) -> list[Row]:
    """Return every address of every device."""
    rows = []
    for name, device in ask.model.devices.items():
        for vlan, address in (device.address or {}).items():
            kind = "no" if address == "dhcp" else "yes"
            rows.append(
                Row((name, device.place or "", vlan, address, device.mac or "", kind), f"address {name}/{vlan}")
            )
    return rows


def port_tables(ask: Ask) -> list[Table]:
    """Return the ports of every switch."""
    found = []
    for switch in ask.model.switches:
        rows = [
            Row(
                (one["port"], one["far"], one["cable"], one["carries"], one["extra"], one["use"]),
                f"port {switch}/{one['port']}",
            )
            for one in port_rows(ask, switch)
        ]
        title = f"{switch}, {ask.model.devices[switch].place or 'no place'}"
        found.append(table("ports", title, "*port:3,far end:6,cable:4,vlans:9,with:4,use:3,_link:2,_speed:2", rows))
    return found


def stream_sheet(ask: Ask) -> Sheet | None:
    """Return the streams with what each occupies of a line and where it passes; None where there is none."""
    by_stream: dict[str, list[Flow]] = {}
    for flow in ask(flows).all:
        if flow.stream and not flow.second:
            by_stream.setdefault(flow.stream, []).append(flow)
    rows = [stream_row(ask, plan, by_stream.get(name, [])) for name, plan in ask(streams).plans.items()]
    words = (
        "stream:4,sender:4,channels:9,vlan:4,=group:5,packet time:4,rate:3,on the wire:4,marking:3,receivers:7,"
        "trunks:5,made:3,_seen:2"
    )
    note = (
        "on the wire: one copy, with every header, tag, preamble and gap; to several receivers without a group it is"
        " sent once to each. derived: made from the patch, not written in the plan"
    )
    sheet = Sheet(
        "streams", "streams", "Streams", department="network", wide=True,
        tables=(table("streams", "", words, rows, note),),
    )  # fmt: skip
    return sheet if rows else None


def stream_row(ask: Ask, plan: StreamPlan, found: list[Flow]) -> Row:
    """Return one stream with its flows."""
    forwarding = ask(network).frames.forwarding
    trunks = {
        hop.cable: None
        for flow in found
        for hop in flow.ports
        if device_of(hop.port) in forwarding and device_of(hop.into) in forwarding
    }
    rate_bit_per_s = next((flow.rate_bit_per_s for flow in found if flow.rate_bit_per_s), None)
    marking = next((flow.marking for flow in found if flow.marking is not None), None)
    vlan = plan.vlan or next((flow.vlan for flow in found if flow.vlan), "")
    cells = (
        plan.name, plan.sender, compress(channel_names(plan)), vlan, plan.group or "to each receiver",
        "" if plan.packet_time_s is None else worded(plan.packet_time_s, "s"),
        "" if plan.rate_hz is None else worded(plan.rate_hz, "Hz"),
        "" if rate_bit_per_s is None else f"{plain(rate_bit_per_s / 1e6, 1)} Mb/s",
        "" if marking is None else f"DSCP {marking}", ", ".join(plan.receivers), ", ".join(trunks),
        "derived" if plan.derived else "",
    )  # fmt: skip
    return Row(cells, f"stream {plan.name}")


def channel_names(plan: StreamPlan) -> tuple[str, ...]:
    """Return the channels of a stream as the plan's own tables name them."""
    record = plan.record
    if isinstance(record, Stream):
        names = (*record.channels, *record.feeds)
        return names or (counted(record.count, "channel") if record.count else "",)
    return tuple(item.removeprefix(f"{plan.sender} ").removeprefix("line ") for item in plan.contents)


def clock_sheet(ask: Ask) -> Sheet | None:
    """Return the clock: islands, leaders, settings, and what happens without each device that leads or links; None without one."""
    found = ask(clock)
    if not found.islands:
        return None
    islands = [
        Row((one.name, one.leader.words if one.leader else "nobody", one.runner_up.words if one.runner_up else "nobody", ", ".join(one.devices)), f"island {one.name}: {one.devices[0]}")
        for one in found.islands
    ]  # fmt: skip
    members = [
        Row((one.device, one.vlan, str(one.domain), one.role or "", one.figures, "" if one.record.rate_hz is None else worded(one.record.rate_hz, "Hz"), "converts the rate" if ask.model.kind_of(one.device).converts_rate else ""), f"clock {one.device}/{one.vlan}/{one.domain}")
        for one in found.members
    ]  # fmt: skip
    things = unpluggable(ask, found)
    losses = [row for thing in things[:LOSSES_MAX] for row in loss_rows(ask, thing)]
    more = (
        f"{len(things) - LOSSES_MAX} more may be unplugged: 'fails' says it of each" if len(things) > LOSSES_MAX else ""
    )
    tables = (
        table("islands", "Who leads", "island:6,leader:7,next:7,devices:10,_seen leader:3", islands),
        table(
            "unplugged", "What happens when it is unplugged", "without:5,island:6,before:5,then:5,who changes over:10",
            losses, more,
        ),
        table("clocks", "Settings", "device:4,vlan:4,domain:2,meant to be:4,figures:10,rate:3,remark:4,_seen:3", members),
    )  # fmt: skip
    return Sheet(
        "clock", "clock", "Clock", department="network", wide=True, tables=tuple(one for one in tables if one.rows),
        words=(Words("", ("A change of leader mutes or jumps whoever changes over until it is locked again.",)),),
    )  # fmt: skip


def unpluggable(ask: Ask, found: Clocks) -> list[str]:
    """Return what changes somebody's leader when it goes: leaders first, then what frames pass through, then its cables.

    A device that only follows changes nothing for others.
    """
    model, wires = ask.model, ask(wiring)
    leaders = {one.leader.device: None for one in found.islands if one.leader is not None}
    passing = [
        name for name in model.devices if name in found.rests_on and name not in leaders and passes_frames(model, name)
    ]
    links = {*leaders, *passing}
    cables = [
        name
        for name in model.cables
        if name in found.rests_on and all(end and device_of(end) in links for end in wires.ends[name])
    ]
    return [*(f"device {name}" for name in (*leaders, *passing)), *(f"cable {name}" for name in cables)]


def loss_rows(ask: Ask, thing: str) -> list[Row]:
    """Return who leads whom when a thing is unplugged."""
    name = thing.partition(" ")[2]
    changes = handovers(ask, thing)
    if not changes:
        return [Row((name, "", "", "nobody changes over", ""), f"without {name}")]
    return [
        Row(
            (
                name, one.island, f"{one.leader or 'nobody'} led",
                (f"{one.next} leads" if one.next else "nobody leads") + (", or one that is equal: look" if one.tied else ""),
                ", ".join(one.devices),
            ),
            f"without {name}/{one.island}/{one.next}",
        )
        for one in changes
    ]  # fmt: skip


def drawings(ask: Ask) -> Sheet | None:
    """Return the drawings of the network: VLANs, clock, light; None without devices."""
    if not ask.model.devices:
        return None
    pictures = [Picture("map", "", "The rig by place")]
    if ask.model.vlans:
        pictures.append(Picture("map", "vlan", "VLANs"))
    if any(device.clock for device in ask.model.devices.values()):
        pictures.append(Picture("map", "clock", "Clock"))
    if any(port.optic for port in ask.model.ports.values()):
        pictures.append(Picture("map", "light", "Light"))
    return Sheet("drawings", "drawings", "Drawings", department="network", pictures=tuple(pictures))
