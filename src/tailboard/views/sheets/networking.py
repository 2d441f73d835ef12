"""The network sheets: VLANs, addresses and ports, streams, and the clock with what happens when something is unplugged."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.answers.faults_clock import handovers
from tailboard.answers.streams import streams
from tailboard.model.records import Vlan
from tailboard.text.ranges import compress
from tailboard.units.wording import worded
from tailboard.views.holes import port_rows
from tailboard.views.sheets.making import table
from tailboard.views.sheets.records import Picture, Row, Sheet, Table, Words


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
    """Return the streams; None where there is none."""
    rows = []
    for name, plan in ask(streams).plans.items():
        contents = compress(item.removeprefix("line ") for item in plan.contents)
        time = "" if plan.packet_time_s is None else worded(plan.packet_time_s, "s")
        rate = "" if plan.rate_hz is None else worded(plan.rate_hz, "Hz")
        cells = (
            name,
            plan.sender,
            contents,
            plan.vlan or "",
            plan.group or "to each receiver",
            time,
            rate,
            ", ".join(plan.receivers),
            "derived" if plan.derived else "",
        )
        rows.append(Row(cells, f"stream {name}"))
    words = "stream:4,sender:4,channels:9,vlan:4,=group:5,packet time:4,rate:3,receivers:7,made:3,_seen:2"
    sheet = Sheet(
        "streams", "streams", "Streams", department="network", wide=True,
        tables=(table("streams", "", words, rows, "derived: made by the tool from the patch, not written in the plan"),),
    )  # fmt: skip
    return sheet if rows else None


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
        Row((one.device, one.vlan, str(one.domain), one.role or "", one.figures, "" if one.record.rate_hz is None else worded(one.record.rate_hz, "Hz")), f"clock {one.device}/{one.vlan}")
        for one in found.members
    ]  # fmt: skip
    losses = []
    for thing in ask.model.devices:
        for change in handovers(ask, f"device {thing}") if thing in found.rests_on else ():
            after = f"{change.next} leads" if change.next else "nobody leads"
            losses.append(
                Row(
                    (thing, change.island, f"{change.leader} led", after, ", ".join(change.devices)),
                    f"without {thing}/{change.island}",
                )
            )
    tables = (
        table("islands", "Who leads", "island:6,leader:7,next:7,devices:10,_seen leader:3", islands),
        table(
            "unplugged",
            "What happens when it is unplugged",
            "without:4,island:6,before:5,then:5,who changes over:10",
            losses,
        ),
        table("clocks", "Settings", "device:4,vlan:4,domain:2,meant to be:4,figures:10,rate:3", members),
    )
    return Sheet(
        "clock", "clock", "Clock", department="network", wide=True, tables=tuple(one for one in tables if one.rows),
        words=(Words("", ("A change of leader mutes or jumps whoever changes over until it is locked again.",)),),
    )  # fmt: skip


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
