"""The cover, the register of configurations, and the papers that are filled in by hand."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.views.readiness import ready_view
from tailboard.views.sheets.making import table
from tailboard.views.sheets.records import Row, Sheet, Words
from tailboard.views.verdict import CheckView

OPEN_MAX = 60  # open claims on the cover; the rest stands in `questions`


def cover(ask: Ask, check: CheckView) -> Sheet:  # long: every part of the cover once
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
    lead = len(words)
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
        words_behind=len(words) - lead,
    )


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
        Row((name, record.kind, record.place or "", record.asset, record.firmware, record.config_copy, record.contact), f"device {name}")
        for name, record in ask.model.devices.items()
        if (ask.model.kind_of(name).role in roles or record.firmware or record.config_copy) and not record.owner
    ]  # fmt: skip
    words = "device:4,kind:6,place:3,asset:3,firmware:3,copy of settings:6,can restore:4,_firmware read:3,_file and date:5,_sum:3,_restore tried:3,_by:2"
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
