"""The sheets of the sound department: input list, feeds, patch sheets, gains, line check, line-up, who hears whom."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.answers.handoffs import HouseSide, Passing, handoffs
from tailboard.answers.levels import levels
from tailboard.answers.signal_ears import natural
from tailboard.model.records import Feed
from tailboard.text.ranges import compress
from tailboard.units.wording import counted, plain, worded
from tailboard.views.acts import act_views
from tailboard.views.cautions import PHANTOM, TONE
from tailboard.views.gains import gain_rows
from tailboard.views.holes import HoleRow, PortRow, bench, hole_rows, is_spare, port_rows
from tailboard.views.linecheck import (
    FAULT_RATIOS,
    FAULT_S,
    LINE_S,
    CheckRowView,
    check_min,
    place_of,
    row_view,
    span_words,
    walk,
)
from tailboard.views.noted import Plan
from tailboard.views.sheet import subjects
from tailboard.views.sheets.making import place_words, table
from tailboard.views.sheets.records import Row, Sheet, Table, Words

NO_NOTES = Plan("", "", {})
LEADS_MAX = 2  # a device with so few leads has them in the list of its place
PATCHED = frozenset({"box", "multicore", "splitter", "tie panel", "gateway"})  # these have a sheet however small
WAYS = {"in": "in", "out": "OUT", "both": "in/out"}


def input_list(ask: Ask) -> Sheet:
    """Return the list of lines as the mixer reads it."""
    rows, found = [], ask(levels)
    for name, line in sorted(ask.model.lines.items(), key=lambda item: natural(item[0])):
        cells = (
            name, line.label, line.source, line.place or "", line.type or "", phantom_words(line.phantom),
            line.level or (found[name].level if name in found else "") or "", line.hole or "",
            compress((*line.strips, *line.goes_to)),
            "" if line.gain_db is None else worded(line.gain_db, "dB"),
            "" if line.pad_db is None else worded(line.pad_db, "dB"), line.gain_owner or "", line.pair or "",
            compress(line.reserve), line.stand, line.note,
        )  # fmt: skip
        rows.append(Row(cells, f"line {name}", is_spare(line)))
    words = "line:3,label,source:8,place,type:5,48V:3,level:5,hole,strip:5,gain:3,pad:3,gain owner:5,pair:2,reserve,stand,remark:6"
    return Sheet(
        "input list", "input list", "Input list", department="audio", wide=True,
        tables=(table("input list", "", words, rows, "spares are rows like any other", 6),),
    )  # fmt: skip


def phantom_words(phantom: bool | None) -> str:
    """Return 48 V as it is printed; empty where nobody says."""
    return "" if phantom is None else "48 V" if phantom else "off"


def interrupts_words(feed: Feed) -> str:
    """Return who interrupts a feed, and what its mix does meanwhile."""
    return compress(feed.interrupts) + (f" ({feed.dip_words})" if feed.interrupts and feed.dip else "")


def feeds_list(ask: Ask) -> Sheet:
    """Return the list of feeds: who gets what, by which way, and who approves it by ear."""
    rows = []
    for name, feed in sorted(ask.model.feeds.items(), key=lambda item: natural(item[0])):
        in_use = f" minus {compress(feed.minus_in_use)} in use" if feed.minus_in_use else ""
        mix = compress(feed.mix) + (f" minus {compress(feed.minus)}" if feed.minus else "") + in_use
        cells = (
            name,
            feed.label,
            feed.listener,
            feed.place or "",
            mix,
            compress(feed.cues),
            interrupts_words(feed),
            "" if feed.delay_s is None else worded(feed.delay_s, "s"),
            compress(feed.outputs),
            compress(feed.gear),
            feed.note,
        )
        rows.append(Row(cells, f"feed {name}", is_spare(feed)))
    words = "feed:3,label,listener:7,place,mix and minus:9,on cue:4,interrupt:6,delay:3,output,arrives at:5,remark:4,_approved by ear:6"
    return Sheet(
        "feeds list", "feeds list", "Feeds", department="audio", wide=True,
        tables=(table("feeds list", "", words, rows, "", 4),), cautions=(TONE,),
    )  # fmt: skip


def patch_sheets(ask: Ask, place: str) -> list[Sheet]:
    """Return a patch sheet for every box, multicore and device with more than two things to plug at a place.

    Without a place: those of which nobody says where they stand, boxes that only a table names among them.
    """
    found = []
    for device in boxes_at(ask, place):
        holes, lines = hole_rows(ask, device), port_rows(ask, device)
        told = device not in ask.model.devices or ask.model.kind_of(device).role in PATCHED
        if len(holes) + len(lines) > LEADS_MAX or (holes and told):
            found.append(patch_sheet(ask, device, place, holes, lines))
    return found


def boxes_at(ask: Ask, place: str) -> list[str]:
    """Return the devices at a place; without a place those that stand nowhere known."""
    model = ask.model
    names = [name for name, about in subjects(model).items() if about == "box"] if not place else list(model.devices)
    return [name for name in names if ((model.place_of(name) or "") if name in model.devices else "") == place]


def patch_sheet(ask: Ask, device: str, place: str, holes: list[HoleRow], leads: list[PortRow]) -> Sheet:
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
        for one in leads
    ]
    if lines:
        tables.append(table("network ports", "Network", "*port:3,to:5,cable:4,carries:8,with:4,use:3,_ok:2", lines))
    kind = ask.model.devices[device].kind if device in ask.model.devices else ""
    cautions = (PHANTOM,) if any(one["phantom"] == "48V" for one in holes) else ()
    return Sheet(
        f"patch {device}", "patch", "Patch sheet", device, place=place, words=(Words("", (kind,)),) if kind else (),
        tables=tuple(tables), cautions=cautions,
    )  # fmt: skip


def act_sheets(ask: Ask) -> list[Sheet]:
    """Return one sheet an act after the first: what is plugged and set otherwise, and nothing else."""
    sheets = []
    for view in act_views(ask):
        rows = [
            Row((one["row"], one["label"], one["column"], one["before"], one["after"]), f"{one['table']} {one['row']} {one['column']}")
            for one in view["doings"]
        ]  # fmt: skip
        told = (
            f"after {view['after']}",
            f"begins {view['start']}" if view["start"] else "",
            f"{view['minutes']} min to change over" if view["minutes"] else "minutes to change over: ____",
        )
        sheets.append(
            Sheet(
                f"act {view['act']}",
                "act",
                "Act",
                view["act"],
                department="audio",
                words=(Words("", tuple(words for words in told if words)),),
                tables=(
                    table(
                        "act", "Only what differs", "*line:4,label:5,what:4,from:6,to:6,_ok:2", rows, "holes first", 3
                    ),
                ),
                cautions=(PHANTOM,),
            )
        )
    return sheets


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
    at: dict[str, list[CheckRowView]] = {}
    for name, line in model.lines.items():
        at.setdefault(place_of(model, line), []).append(row_view(ask(bench), name, line, NO_NOTES))
    tables = []
    for place in sorted(at, key=lambda name: walk(model, name)):
        found = sorted(at[place], key=lambda row: (natural(row["box"]), natural(row["hole"]), natural(row["line"])))
        title = place_words(model, place) or "no place written"
        words = "*hole:5,line:3,label:5,what sounds:7,48V:3,A1 sees it at:5,reserve:3,_seen:4,_fault and mending:7,_by:2,_at:2"
        took = f"{counted(len(found), 'line')}, {minutes_words(len(found), 1)}"
        tables.append(table("line check", f"{title}: {took}", words, map(check_row, found)))
    count = len(model.lines)
    span = f"{plain(100 * FAULT_RATIOS[0])} to {plain(100 * FAULT_RATIOS[-1])} %"
    took = f"{minutes_words(count, 1)} with one crew, {minutes_words(count, 2)} with two"
    planned = (
        f"{counted(count, 'line')} at {plain(LINE_S)} s: {took}. The longer figure counts {plain(FAULT_S / 60)} min for each fault: {span} of the lines have one, and the most is taken (common practice, no source).",
        "Silent first: 48 V off, gain down. Say the line's name, scratch the capsule, then 48 V where listed; pairs by polarity; then the reserve.",
        "Again for noise with lights, screens, PA and radio on (common practice, no source).",
    )  # fmt: skip
    return Sheet(
        "line check", "line check", "Line check", department="audio", wide=True, words=(Words("Planned", planned),),
        tables=tuple(tables), cautions=(TONE, PHANTOM),
    )  # fmt: skip


def check_row(row: CheckRowView) -> Row:
    """Return one line to check."""
    cells = (
        f"{row['box']}/{row['hole']}".strip("/"), row["line"], row["label"], row["plug"],
        row["phantom"].replace("48V", "48 V"), row["see"], row["reserve"],
    )  # fmt: skip
    return Row(cells, row["key"], row["spare"])


def minutes_words(lines: int, crews: int) -> str:
    """Return how long it takes to check some lines: without a fault, and with the most that are usual."""
    return f"{span_words([check_min(lines, crews, 0, ratio) for ratio in (0.0, FAULT_RATIOS[-1])])} min"


def line_up(ask: Ask) -> Sheet | None:
    """Return the line-up sheet: what passes between us and others, with both level references and what is to be read.

    None where nothing goes to another side or a machine, or comes from one.
    """
    model = ask.model
    sides = ask(handoffs)
    passing = {
        f"{'line' if one.line else 'feed'} {one.name}": line_up_row(ask, side, one)
        for side in sides.values()
        for one in side.passing
    }
    own = str(model.heading.alignment)
    machines = [
        Row((f"feed {name}", feed.label, feed.listener, "to them", own, "", "", "" if feed.delay_s is None else worded(feed.delay_s, "s")), f"feed {name}")
        for name, feed in model.feeds.items()
        if feed.by == "machine" and f"feed {name}" not in passing
    ]  # fmt: skip
    rows = [*passing.values(), *machines]
    if not rows:
        return None
    words = (
        "what:4,label:4,with whom:7,way:3,our reference:5,theirs:5,arrives:6,delay set:3,_read at the far end:5,"
        "_ident:4,_sound against picture:5,_ours:3,_theirs signed:3"
    )
    note = "arrives: against the reference of who takes it, its gain counted in; blank: nobody has said theirs"
    return Sheet(
        "line-up", "line-up", "Line-up", department="audio", wide=True, cautions=(TONE,),
        tables=(table("line-up", "", words, rows, note, 4),), sign=("for the other side", "for us"),
    )  # fmt: skip


def line_up_row(ask: Ask, side: HouseSide, one: Passing) -> Row:
    """Return what passes to or from another side."""
    model = ask.model
    record = model.lines[one.name] if one.line else model.feeds[one.name]
    far = side.device.owner or side.device.id
    delay_s = None if one.line else model.feeds[one.name].delay_s
    level = "" if side.alignment is None else "as sent" if not one.difference_db else level_words(one.difference_db)
    cells = (
        f"{'line' if one.line else 'feed'} {one.name}", record.label, f"{far}, {side.device.id}",
        "from them" if one.line else "to them", str(one.own), "" if side.alignment is None else str(side.alignment),
        level, "" if delay_s is None else worded(delay_s, "s"),
    )  # fmt: skip
    return Row(cells, cells[0])


def level_words(difference_db: float) -> str:
    """Return how a tone arrives."""
    return f"{plain(abs(difference_db), 1)} dB too {'loud' if difference_db > 0 else 'low'}"
