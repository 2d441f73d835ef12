"""The sheets of the sound department: input list, feeds, patch sheets, gains, line check, line-up, who hears whom."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import natural
from tailboard.text.ranges import compress
from tailboard.units.wording import plain, worded
from tailboard.views.cautions import PHANTOM, TONE
from tailboard.views.gains import gain_rows
from tailboard.views.holes import HoleRow, bench, hole_rows, is_spare, port_rows
from tailboard.views.linecheck import LINE_S, check_min, place_of, row_view
from tailboard.views.matrix import matrix_view
from tailboard.views.noted import Plan
from tailboard.views.sheets.making import place_words, places_in_order, table
from tailboard.views.sheets.records import Column, Row, Sheet, Table, Words

NO_NOTES = Plan("", "", {})
SOURCES_MAX = 14  # columns of the matrix on one page; own choice: they stay readable on A4 across
WAYS = {"in": "in", "out": "OUT", "both": "in/out"}


def input_list(ask: Ask) -> Sheet:
    """Return the list of lines as the mixer reads it."""
    rows = []
    for name, line in sorted(ask.model.lines.items(), key=lambda item: natural(item[0])):
        cells = (
            name, line.label, line.source, line.place or "", line.type or "", "48 V" if line.phantom else "",
            line.level or "", line.hole or "", compress((*line.strips, *line.goes_to)),
            "" if line.gain_db is None else worded(line.gain_db, "dB"), line.gain_owner or "", line.pair or "",
            compress(line.reserve), line.stand, line.note,
        )  # fmt: skip
        rows.append(Row(cells, f"line {name}", is_spare(line)))
    words = "line:3,label,source:8,place,type:5,48V:3,level:5,hole,strip:5,gain:3,gain owner:5,pair:2,reserve,stand,remark:6"
    return Sheet(
        "input list", "input list", "Input list", department="audio", wide=True,
        tables=(table("input list", "", words, rows, "spares are rows like any other", 6),),
    )  # fmt: skip


def feeds_list(ask: Ask) -> Sheet:
    """Return the list of feeds: who gets what, by which way, and who approves it by ear."""
    rows = []
    for name, feed in sorted(ask.model.feeds.items(), key=lambda item: natural(item[0])):
        mix = compress(feed.mix) + (f" minus {compress(feed.minus)}" if feed.minus else "")
        cells = (
            name,
            feed.label,
            feed.listener,
            feed.place or "",
            mix,
            compress(feed.interrupts),
            compress(feed.outputs),
            compress(feed.gear),
        )
        rows.append(Row(cells, f"feed {name}", is_spare(feed)))
    words = "feed:3,label,listener:7,place,mix and minus:9,interrupt:6,output,arrives at:5,_approved by ear:6"
    return Sheet(
        "feeds list", "feeds list", "Feeds", department="audio", wide=True,
        tables=(table("feeds list", "", words, rows, "", 4),), cautions=(TONE,),
    )  # fmt: skip


def patch_sheets(ask: Ask, place: str) -> list[Sheet]:
    """Return a patch sheet for every box, multicore and device with more than two things to plug at a place."""
    model = ask.model
    found = []
    for device in (name for name, record in model.devices.items() if (record.place or "") == place):
        holes = hole_rows(ask, device)
        ports = port_rows(ask, device)
        if len(holes) + len(ports) > 2:
            found.append(patch_sheet(ask, device, place, holes))
    return found


def patch_sheet(ask: Ask, device: str, place: str, holes: list[HoleRow]) -> Sheet:
    """Return the sheet of one box: the number to plug by first and biggest."""
    rows = [
        Row(
            (one["hole"], WAYS[one["way"]], one["item"], one["label"], one["plugged"], one["phantom"].replace("48V", "48 V"), one["cable"], one["channel"], one["strip"]),
            f"hole {device}/{one['hole']}", one["use"] == "spare",
        )
        for one in holes
        if one["use"] != "unused"
    ]  # fmt: skip
    unused = compress(one["hole"] for one in holes if one["use"] == "unused")
    note = f"not used: {unused}" if unused else ""
    tables: list[Table] = []
    if holes:
        words = "*hole:4,way:3,line:3,label:5,plugged in:8,48V:3,cable:4,channel:4,strip:5,_ok:2"
        tables.append(table("holes", "", words, rows, note, 2))
    lines = [
        Row(
            (one["port"], one["far"], one["cable"], one["carries"], one["extra"], one["use"]),
            f"port {device}/{one['port']}",
        )
        for one in port_rows(ask, device)
    ]
    if lines:
        tables.append(table("network ports", "Network", "*port:3,to:5,cable:4,carries:8,with:4,use:3,_ok:2", lines))
    kind = ask.model.devices[device].kind if device in ask.model.devices else ""
    cautions = (PHANTOM,) if any(one["phantom"] == "48V" for one in holes) else ()
    return Sheet(
        f"patch {device}", "patch", "Patch sheet", device, place=place, words=(Words("", (kind,)),) if kind else (),
        tables=tuple(tables), cautions=cautions,
    )  # fmt: skip


def gains_sheet(ask: Ask) -> Sheet | None:
    """Return the gains to set before anything is plugged; None where no preamplifier is in the plan."""
    rows = [
        Row((row["box"], row["hole"], row["line"], row["label"], row["phantom"], row["pad"], row["written"], row["advised"], row["reached"], row["ratio"], row["note"]), f"line {row['line']}")
        for row in gain_rows(ask)
    ]  # fmt: skip
    words = "box:4,*hole:3,line:3,label:5,48V:3,pad:3,gain:3,advised:3,peak comes to:4,over noise:3,why:9,_set:2"
    note = "advised: the highest peak comes to 9 dB above the alignment level (EBU R 68); kinds with example figures count as such"
    sheet = Sheet(
        "gains", "gains", "Gains to set", department="audio", wide=True,
        tables=(table("gains", "", words, rows, note),), cautions=(PHANTOM,),
    )  # fmt: skip
    return sheet if rows else None


def line_check(ask: Ask) -> Sheet:
    """Return the line check: place after place in walking order, hole after hole, with the minutes planned."""
    model = ask.model
    tables = []
    for place in [*places_in_order(model), ""]:
        found = [
            row_view(ask(bench), name, line, NO_NOTES)
            for name, line in model.lines.items()
            if place_of(model, line) == place
        ]
        found.sort(key=lambda row: (natural(row["box"]), natural(row["hole"]), natural(row["line"])))
        rows = [
            Row((f"{row['box']}/{row['hole']}".strip("/"), row["line"], row["label"], row["plug"], row["phantom"].replace("48V", "48 V"), row["see"]), row["key"], row["spare"])
            for row in found
        ]  # fmt: skip
        if rows:
            words = (
                "*hole:5,line:3,label:5,what sounds:7,48V:3,A1 sees it at:5,_seen:4,_fault and mending:7,_by:2,_at:2"
            )
            tables.append(table("line check", place_words(model, place) or "no place written", words, rows))
    count = len(model.lines)
    minutes = Words("Planned", (f"{count} lines at {plain(LINE_S)} s make {plain(check_min(count, 1, 0))} min with one crew, {plain(check_min(count, 2, 0))} with two; 5 min more for each fault (common practice, no source)",))  # fmt: skip
    return Sheet(
        "line check", "line check", "Line check", department="audio", wide=True, words=(minutes,), tables=tuple(tables),
        cautions=(TONE, PHANTOM),
    )  # fmt: skip


def line_up(ask: Ask) -> Sheet:
    """Return the line-up sheet: every feed that leaves to somebody else or to a machine, and every line that comes from there."""
    model = ask.model
    reference = model.heading.alignment
    tone = f"{worded(reference.level_dbfs, 'dBFS')} is {worded(reference.level_dbu, 'dBu')}"
    outer = {name for name, device in model.devices.items() if device.owner}
    rows = [
        Row((f"feed {name}", feed.listener, "to them", tone), f"feed {name}")
        for name, feed in model.feeds.items()
        if feed.by == "machine" or any(port.partition("/")[0] in outer for port in (*feed.gear, *feed.outputs))
    ]
    rows += [
        Row((f"line {name}", line.source, "from them", tone), f"line {name}")
        for name, line in model.lines.items()
        if any(port.partition("/")[0] in outer for port in (line.gear or "", line.hole or ""))
    ]
    words = (
        "what:4,with whom:7,way:3,tone at:6,_read at the far end:5,_ident:4,_sound against picture:5,_ours:3,_theirs:3"
    )
    return Sheet(
        "line-up", "line-up", "Line-up", department="audio", wide=True,
        tables=(table("line-up", "", words, rows, "tone of 997 Hz where it is digital (EBU and AES practice, second-hand)", 4),),
        cautions=(TONE,), sign=("for the other side", "for us"),
    )  # fmt: skip


def matrix_sheets(ask: Ask) -> list[Sheet]:
    """Return who hears whom: a row a listener, a column a source, as many pages across as it needs."""
    view = matrix_view(ask)
    sheets = []
    count = max(1, -(-len(view["sources"]) // SOURCES_MAX))
    for part in range(count if view["sources"] else 0):
        begin, end = part * SOURCES_MAX, (part + 1) * SOURCES_MAX
        heads = (Column("listener", share=9), *(Column(name, share=3) for name in view["sources"][begin:end]))
        rows = tuple(
            Row((row["listener"], *(cell["sign"] for cell in row["cells"][begin:end])), f"listener {row['listener']}")
            for row in view["rows"]
        )
        note = "A always, K on key, C on cue, x never, by hearing.csv; blank: no way leads there; [ ] not as wished; lost: a way that does not work"
        title = "Who hears whom" + (f", {part + 1} of {count}" if count > 1 else "")
        sheets.append(
            Sheet(
                f"who hears whom {part + 1}",
                "who hears whom",
                title,
                department="comms",
                wide=True,
                tables=(Table("who hears whom", "", heads, rows, note),),
            )
        )
    return sheets
