"""The cover, the card for the pocket, the hand-off to the house, and the papers that are filled in by hand."""

from __future__ import annotations

from ipaddress import ip_address

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Island, clock
from tailboard.answers.network import network
from tailboard.answers.streams import streams
from tailboard.model.show import Model, device_of
from tailboard.text.ranges import compress
from tailboard.units.wording import listed, worded
from tailboard.views.cautions import EARTH, LASER
from tailboard.views.fails import failures_view
from tailboard.views.readiness import ready_view
from tailboard.views.sheets.making import place_words, places_in_order, table
from tailboard.views.sheets.records import Row, Sheet, Words
from tailboard.views.verdict import CheckView

DIES_MAX = 10  # lines of 'if this dies' on the card: what a pocket holds
OPEN_MAX = 60  # open claims on the cover; the rest stands in `questions`


def cover(ask: Ask, check: CheckView) -> Sheet:
    """Return the cover: ready or not, by place, reasons first; what is accepted, open and assumed."""
    ready = ready_view(ask, check)
    known = {one["id"]: one["message"] for one in check["findings"]}
    status = {"broken": "broken: not ready", "holds if": "holds if: warnings", "open": "open", "holds": "holds: ready"}
    rows = [
        Row((one["place"], one["words"], status[one["mark"]], "; ".join(known[name] for name in one["reasons"][:3]), str(len(one["open"])) if one["open"] else ""), f"place {one['place']}")
        for one in ready["places"]
    ]  # fmt: skip
    counts = check["counts"]
    words = [
        Words(
            f"{ready['verdict']}",
            (
                f"{counts['error']} errors, {counts['warning']} warnings, {len(check['open'])} open, {len(check['accepted'])} accepted in writing",
            ),
        )
    ]
    errors = [one["message"] for one in check["findings"] if one["severity"] != "note"]
    if errors:
        words.append(Words("What is to be mended", tuple(f"broken: {message}" for message in errors)))
    if check["accepted"]:
        words.append(
            Words(
                "Accepted in writing",
                tuple(f"{one['message']} ({one['because']}; {one['by']}, {one['on']})" for one in check["accepted"]),
            )
        )
    if check["open"]:
        left = len(check["open"]) - OPEN_MAX
        more = (f"and {left} more: 'questions' lists them all",) if left > 0 else ()
        words.append(Words("Open: a figure is missing", (*(one["missing"] for one in check["open"][:OPEN_MAX]), *more)))
    if check["assumptions"]:
        words.append(Words("Taken for granted", tuple(one["words"] for one in check["assumptions"])))
    wishes = [Row((one["id"], one["must"], one["status"]), f"requirement {one['id']}") for one in check["requirements"]]
    tables = [
        table("verdict by place", "By place, in walking order", "place:4,name:6,stands:5,because:14,open:2", rows)
    ]
    if wishes:
        tables.append(table("requirements", "Requirements", "no:3,must:14,stands:4", wishes))
    return Sheet(
        "cover",
        "cover",
        "Show book",
        ask.model.heading.title,
        department="everyone",
        words=tuple(words),
        tables=tuple(tables),
    )


def show_card(ask: Ask) -> Sheet:
    """Return the card for the pocket: telephones, places, reserves, and what to do if something dies."""
    model = ask.model
    failures = failures_view(ask, everything=False)["failures"]
    dies = tuple(
        f"{one['words']}: {one['instead']}"
        if one["instead"]
        else f"{one['words']}: {one['lines']} lines, {one['feeds']} feeds; no stand-in"
        for one in failures[:DIES_MAX]
    )
    reserves = tuple(
        f"{name} {line.label}: {compress(line.reserve)}" for name, line in model.lines.items() if line.reserve
    )
    leaders = tuple(f"{one.name}: {one.leader.device}" for one in ask(clock).islands if one.leader is not None)
    contacts = contacts_of(model)
    words = [
        Words("Telephones", (*contacts, *("_" * 30 for _ in range(max(0, 5 - len(contacts)))))),
        Words("Places", tuple(place_words(model, place) for place in places_in_order(model))),
        Words("Reserves", reserves or ("none is written",)),
        Words("If this dies, do this", dies or ("nothing in the plan rests on a single thing",)),
    ]
    if leaders:
        words.append(Words("Clock leader", leaders))
    words.append(Words("Last good baseline, passwords kept by", ("_" * 30,)))
    return Sheet("card", "card", "Show card", department="everyone", words=tuple(words), pocket=True)


def contacts_of(model: Model) -> tuple[str, ...]:
    """Return the contacts that places and supplies name, each once."""
    told = [(place.name or name, place.contact) for name, place in model.places.items()]
    told += [(supply.name or name, supply.contact) for name, supply in model.supplies.items()]
    return tuple(dict.fromkeys(f"{name}: {contact}" for name, contact in told if contact))


def hand_off(ask: Ask) -> list[Sheet]:
    """Return one page for each owner on the other side, in the words of a network engineer: only what crosses."""
    model = ask.model
    owners = dict.fromkeys(device.owner for device in model.devices.values() if device.owner)
    pages = []
    for owner in owners:
        theirs = {name for name, device in model.devices.items() if device.owner == owner}
        links = crossing_rows(ask, theirs)
        if links:
            pages.append(hand_off_sheet(ask, owner, theirs, links))
    return pages


def crossing_rows(ask: Ask, theirs: set[str]) -> list[Row]:
    """Return the network cables between us and them: the port, what is on it, tagged or not."""
    model, net = ask.model, ask(network)
    rows = []
    for name, cable in model.cables.items():
        ends = [end for end in (cable.end_a, cable.end_b) if end]
        outer = [end for end in ends if device_of(end) in theirs]
        inner = [end for end in ends if device_of(end) not in theirs]
        if len(outer) != 1 or len(inner) != 1:
            continue
        side = net.ports.settings.get(inner[0])
        known = net.vlans_of(inner[0]) or net.vlans_of(outer[0]) or net.vlans_of_device(device_of(outer[0]))
        tagged = sorted(side.tagged) if side is not None else []
        untagged = side.untagged if side is not None else next(iter(known), None)
        if tagged or untagged:
            cells = (outer[0], inner[0], name, cable.kind, untagged or "", ", ".join(tagged))
            rows.append(Row(cells, f"cable {name}"))
    return rows


def hand_off_sheet(ask: Ask, owner: str, theirs: set[str], links: list[Row]) -> Sheet:
    """Return the hand-off to one owner. No inner address and no password is on it."""
    model = ask.model
    vlans = list(dict.fromkeys(vlan for row in links for vlan in (row.cells[4], *row.cells[5].split(", ")) if vlan))
    crossing = [
        Row((vlan, str(model.vlans[vlan].number), model.vlans[vlan].purpose, groups_words(ask, vlan, theirs, ours=True), groups_words(ask, vlan, theirs, ours=False), "" if model.vlans[vlan].marking is None else f"DSCP {model.vlans[vlan].marking}"), f"vlan {vlan}")
        for vlan in vlans
        if vlan in model.vlans
    ]  # fmt: skip
    macs = [
        Row((name, record.mac or "", (record.address or {})[vlan], vlan), f"mac {name}/{vlan}")
        for name, record in model.devices.items()
        for vlan in vlans
        if name not in theirs and vlan in (record.address or {})
    ]
    never = [name for name in model.vlans if name not in vlans]
    clocks = [f"{one.name}: {leader_words(one)}" for one in ask(clock).islands if one.vlan in vlans]
    reference = model.heading.alignment
    words = (
        Words("Never crosses", (f"our other VLANs, {len(never)} in number; no internet bridging; no discovery of our devices",)),
        Words("Clock", tuple(clocks) or ("no clock crosses",)),
        Words("Level", (f"{worded(reference.level_dbfs, 'dBFS')} is {worded(reference.level_dbu, 'dBu')} at our jacks",)),
        Words("Times and people", ("connected at ________  disconnected at ________", "yours: ____________________  telephone ____________", "ours: ____________________  telephone ____________", "tell us before you unplug, restart or change any of this")),
    )  # fmt: skip
    tables = (
        table(
            "hand-off ports", "Port", "your port:6,ours:5,cable:4,kind:5,untagged:4,tagged:6,_link and speed:4", links
        ),
        table(
            "hand-off VLANs",
            "What crosses",
            "vlan:4,=id:2,for:6,=groups from us:7,=groups from you:7,marking:4",
            crossing,
        ),
        table("hand-off addresses", "Our addresses there", "device:5,=MAC:7,=address:6,vlan:4", macs, "", 2),
    )
    return Sheet(
        f"hand-off {owner}", "hand-off", "Hand-off", owner, department="network", words=words,
        tables=tuple(one for one in tables if one.rows), cautions=(EARTH, LASER), sign=(f"for {owner}", "for us"),
    )  # fmt: skip


def leader_words(island: Island) -> str:
    """Return who leads an island and who follows."""
    leader = island.leader.device if island.leader else "nobody"
    others = [name for name in dict.fromkeys(island.devices) if name != leader]
    return f"{leader} leads" + (f", {listed(others)} {'follows' if len(others) == 1 else 'follow'}" if others else "")


def groups_words(ask: Ask, vlan: str, theirs: set[str], *, ours: bool) -> str:
    """Return the multicast groups that one side sends in a VLAN; a stream that says no VLAN is known by its range."""
    record = ask.model.vlans[vlan]
    ranges = (*record.groups, *record.other_groups)
    found = [
        plan.group
        for plan in ask(streams).plans.values()
        if plan.group
        and (plan.sender in theirs) != ours
        and (plan.vlan == vlan or (plan.vlan is None and any(ip_address(plan.group) in one for one in ranges)))
    ]
    return ", ".join(dict.fromkeys(found)) or "none"


def register_sheet(ask: Ask) -> Sheet | None:
    """Return the register of configurations: every device that has one, to be filled in; None without devices."""
    roles = {
        "switch",
        "router",
        "console",
        "box",
        "matrix",
        "gateway",
        "recorder",
        "intercom base",
        "panel",
        "access point",
    }
    rows = [
        Row((name, record.kind, record.place or "", record.asset), f"device {name}")
        for name, record in ask.model.devices.items()
        if ask.model.kind_of(name).role in roles and not record.owner
    ]
    words = "device:4,kind:6,place:4,asset:3,_file:5,_version:3,_firmware:3,_date:3,_kept at:4,_restore tried:3,_by:2"
    sheet = Sheet(
        "register", "register", "Configuration register", department="network", wide=True,
        tables=(table("register", "", words, rows, "a setting that is not saved to start-up is lost at the first power cut: common practice, no source"),),
    )  # fmt: skip
    return sheet if rows else None


def logs() -> tuple[Sheet, Sheet]:
    """Return the fault log and the change log, blank."""
    faults = "time:3,seen by:4,where:4,symptom in words:8,scope:4,on air:2,first action:6,cause:6,mended:5,minutes:2"
    changes = "no:2,time:3,asked by:4,before:6,after:6,papers:5,tried by ear by:4,way back:5,told to:4"
    blanks = [f"_{name}" for name in faults.split(",")], [f"_{name}" for name in changes.split(",")]
    return (
        Sheet("fault log", "log", "Fault log", department="everyone", wide=True, tables=(table("fault log", "", ",".join(blanks[0]), [], "", 18),)),
        Sheet("change log", "log", "Change log", department="everyone", wide=True, tables=(table("change log", "", ",".join(blanks[1]), [], "", 18),)),
    )  # fmt: skip
