"""A folder becomes a model and findings. Reading never stops at the first fault and raises nothing for the user's faults."""

from __future__ import annotations

import posixpath
from dataclasses import dataclass, field, replace

from tailboard.findings import Finding, Rule, Severity, Spot
from tailboard.kinds.library import SECTIONS as KIND_SECTIONS
from tailboard.kinds.library import Library, built_in, foreign_sections, read_library
from tailboard.model.acts import ACTS_MAX, OVERLAID_TABLES, ActPlan, laid, reporting
from tailboard.model.acts import FOLDER as ACTS_FOLDER
from tailboard.model.changes import CHANGES, LaidChanges
from tailboard.model.found import read_found
from tailboard.model.kept import Kept
from tailboard.model.records import (
    Accepted,
    Act,
    Bus,
    Cable,
    Circuit,
    Confirmed,
    Device,
    Feed,
    Hearing,
    Line,
    LineSet,
    Place,
    Requirement,
    Station,
    Stream,
    Supply,
    Vlan,
)  # fmt: skip
from tailboard.model.references import check_references
from tailboard.model.sections import OVERLAID, SECTION_NAMES, read_heading, read_listed, read_ports, read_section
from tailboard.model.show import Found, Model
from tailboard.text.csvfile import read_csv
from tailboard.text.decoding import decode
from tailboard.text.entries import laid_over, written_out
from tailboard.text.faults import FILE_TOO_LARGE, FILE_UNREADABLE, LOCK_FILE_IGNORED, TABLE_TWICE
from tailboard.text.folder import Files
from tailboard.text.misfits import NAME_TWICE
from tailboard.text.names import is_lock_file, locked_name
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Mapping, Table
from tailboard.text.recordreader import R, Report, read_rows
from tailboard.text.yamlfile import read_yaml

FORMAT = 1
ACTS_TABLE = "acts.csv"
SIZE_MAX_BYTES = 20_000_000
ID_NAMES = {"lines": "line", "buses": "bus", "feeds": "feed", "comms": "station", "hearing": "listener"}
TABLES = tuple(ID_NAMES)
DATE_COLUMNS = frozenset({"on", "at", "date", "until"})

FORMAT_NEWER = Rule(
    "format-newer",
    "reading",
    Severity.ERROR,
    """A file is written for a newer version of the format.

What it finds: `format:` in show.yaml or the rig is greater than the version this tailboard reads.
Why it matters: keys of the newer format would be misread; nothing is read from the file.
Example: `format: 9`.
Fix: use the newer tailboard, or set `format` back if the file was written by hand.
Does not find: newer keys under an old number; those are key-unknown.
Source: the format of this project, docs/format.md.
""",
)
RIG_LOOP = Rule(
    "rig-loop",
    "reading",
    Severity.ERROR,
    """Rig files name one another in a circle.

What it finds: a rig whose `rig` key leads back to a file that is already being read.
Why it matters: there is no bottom to build on; the second mention is left out.
Example: rig.yaml says `rig: base.yaml`, base.yaml says `rig: rig.yaml`.
Fix: take the `rig` key out of the file that should be the base.
Does not find: two rigs that write the same device differently; the upper one wins.
Source: the format of this project, docs/format.md.
""",
)
SHOW_EMPTY = Rule(
    "show-empty",
    "reading",
    Severity.ERROR,
    """The folder holds no show.

What it finds: a folder with neither show.yaml nor lines.csv nor a workbook with a sheet `lines`.
Why it matters: there is nothing to prove.
Example: the folder above or below the show's was named.
Fix: name the folder that holds lines.csv or show.yaml, or begin one with `tailboard new`.
Does not find: a show whose tables are empty.
Source: the format of this project, docs/format.md.
""",
)
RULES = (FORMAT_NEWER, RIG_LOOP, SHOW_EMPTY)


@dataclass(slots=True)
class Reading:
    """What came out of a folder.

    model     the show as far as it could be read.
    findings  every fault of reading.
    sources   text files by name as their lines, for showing the stretch a finding is about.
    """

    model: Model
    findings: list[Finding]
    sources: dict[str, list[str]] = field(default_factory=dict)


@dataclass(slots=True)
class Reader:
    """The state of one reading."""

    files: Files
    report: Report = field(default_factory=Report)
    sources: dict[str, list[str]] = field(default_factory=dict)
    kept: Kept = field(default_factory=Kept)

    def bytes_of(self, name: str) -> bytes | None:
        """Return a file's content, or None after reporting why not."""
        try:
            size = self.files.size(name)
            if size > SIZE_MAX_BYTES:
                self.report.add(
                    FILE_TOO_LARGE.finding(
                        name,
                        Spot(name),
                        f"{name} has {size / 1e6:.0f} MB; a file of a show has at most {SIZE_MAX_BYTES / 1e6:.0f} MB",
                        "move what is no plan out of the folder",
                    )
                )
                return None
            return self.files.read(name)
        except OSError as problem:
            self.report.add(
                FILE_UNREADABLE.finding(
                    name,
                    Spot(name),
                    f"{name} cannot be read: {problem.strerror or problem}",
                    "make the file readable, or correct its name",
                )
            )
            return None

    def yaml(self, name: str) -> Mapping | None:
        """Return the top mapping of a YAML file."""
        data = self.bytes_of(name)
        if data is None:
            return None

        def make() -> tuple[Mapping | None, list[str]]:
            root, findings = read_yaml(name, data)
            self.report.findings.extend(findings)
            return root, decode(name, data, blanks_matter=True)[0] or []

        root, self.sources[name] = self.kept.part(("file", name), (data,), self.report, make)
        return root

    def tables(self) -> dict[str, Table]:
        """Return the tables of the show by name, from CSV files and one workbook."""
        tables: dict[str, Table] = {}
        names = self.files.names()
        for name in names:
            stem, dot, ending = name.lower().rpartition(".")
            if is_lock_file(name):
                self.report_lock(name)
                continue
            if "/" in name or not dot or name.startswith("."):
                continue
            if ending == "csv" and stem in TABLES:
                self.keep_table(tables, self.csv(name, stem))
            elif ending == "xlsx":
                for table in self.workbook(name):
                    self.keep_table(tables, table)
        changes = self.csv(CHANGES, "changes") if CHANGES in names else None
        if changes is not None:
            LaidChanges(tables, changes, ID_NAMES, self.report).lay()
        return tables

    def report_lock(self, name: str) -> None:
        """Report a lock file: its workbook or table is open in another program and may be older on disk."""
        other = locked_name(name)
        self.report.add(
            LOCK_FILE_IGNORED.finding(
                name,
                Spot(name),
                f"{other} is open in another program; what is not saved there is not seen here",
                f"save and close {other}, then delete {name} if it is left behind",
            )
        )

    def keep_table(self, tables: dict[str, Table], table: Table | None) -> None:
        """Keep a table unless one of its name was read before."""
        if table is None or table.name not in TABLES:
            return
        if table.name in tables:
            other = tables[table.name]
            self.report.add(
                TABLE_TWICE.finding(
                    table.name,
                    Spot(table.file, sheet=table.sheet),
                    f"the table '{table.name}' stands in {other.file} and in {table.file}; the first is used",
                    f"keep one of the two; move {table.file} out of the folder",
                )
            )
            return
        tables[table.name] = table

    def csv(self, name: str, table_name: str) -> Table | None:
        """Return the table of a CSV file."""
        data = self.bytes_of(name)
        if data is None:
            return None

        def make() -> Table | None:
            table, findings = read_csv(name, data, table_name)
            self.report.findings.extend(findings)
            return table

        table = self.kept.part(("file", name), (data,), self.report, make)
        if table is not None:
            self.sources[name] = table.source
        return table

    def workbook(self, name: str) -> list[Table]:
        """Return the tables of a workbook."""
        data = self.bytes_of(name)
        if data is None:
            return []
        from tailboard.text.workbook import read_workbook  # noqa: PLC0415  keeps the workbook library out of most checks

        def make() -> list[Table]:
            tables, findings = read_workbook(name, data, DATE_COLUMNS)
            self.report.findings.extend(findings)
            return tables

        return self.kept.part(("file", name), (data,), self.report, make)


def read(files: Files, kept: Kept | None = None) -> Reading:
    """Return the model of a folder with every fault of reading.

    kept  what the last reading of the same show left for this one, and what this one leaves for the next.
    """
    names = files.names()
    reader = Reader(files, kept=kept or Kept(on=False))
    reader.kept.begin()
    if CHANGES in names:  # changes are laid into the tables themselves: those of before and after are others
        reader.kept.forget()
    root = top_file(reader, names)
    tables = reader.tables()
    if root is None and not tables and not reader.report.findings:
        reader.report.add(
            SHOW_EMPTY.finding(
                "show",
                Spot("show.yaml"),
                "this folder holds neither show.yaml nor lines.csv",
                "name the folder of a show, or begin one with 'tailboard new'",
            )
        )
    root = root or Mapping({}, Spot("show.yaml"))
    model = build(root, tables, library_of(reader, root, names), reader)
    check_references(model, reader.report)
    if any(name.lower() == ACTS_TABLE or name.startswith(f"{ACTS_FOLDER}/") for name in names):
        model = replace(model, acts=read_acts(reader, model, tables, names))
    if CHANGES in names:
        reader.kept.forget()
    return Reading(model, reader.report.findings, reader.sources)


def read_acts(reader: Reader, model: Model, tables: dict[str, Table], names: list[str]) -> dict[str, ActPlan]:
    """Return the acts in the order of acts.csv, each with the tables of its folder laid over those of the show."""
    listed = reader.csv(ACTS_TABLE, "acts") if ACTS_TABLE in names else None
    records = table_records(Act, {"acts": listed} if listed is not None else {}, "acts", "act", reader.report)
    folders = list(
        dict.fromkeys(
            name.split("/")[1] for name in names if name.startswith(f"{ACTS_FOLDER}/") and name.count("/") == 2
        )
    )
    for folder in folders:
        if folder not in records:
            near = nearest(folder, records)
            fix = f"did you mean '{near}'?" if near else f"add a row '{folder}' to {ACTS_TABLE}"
            reporting(reader.report, folder)(
                Spot(f"{ACTS_FOLDER}/{folder}"), ACTS_TABLE, f"{ACTS_TABLE} has no such row", fix
            )
    for late in list(records)[ACTS_MAX:]:
        words = f"more than {ACTS_MAX} acts are not read"
        reporting(reader.report, late)(
            records[late].at.spot("id"), late, words, "put acts that are patched alike into one"
        )
        del records[late]
    return {name: read_act(reader, model, tables, record) for name, record in records.items()}


def read_act(reader: Reader, model: Model, tables: dict[str, Table], record: Act) -> ActPlan:
    """Return one act. What is wrong in the show's own tables was said before; only what its own tables add is reported."""
    over, changes = dict(tables), []
    for table in OVERLAID_TABLES:
        name = f"{ACTS_FOLDER}/{record.id}/{table}.csv"
        act = reader.csv(name, table) if table in tables and name in reader.files.names() else None
        if act is not None:
            over[table], found = laid(tables[table], act, ID_NAMES[table], reporting(reader.report, record.id))
            changes += found
    own = Report()
    plan = ActPlan(
        record,
        table_records(Line, over, "lines", "line", own) if changes else model.lines,
        table_records(Feed, over, "feeds", "feed", own) if changes else model.feeds,
        tuple(changes),
    )
    if changes:
        check_references(replace(model, lines=plan.lines, feeds=plan.feeds), own)
    for finding in own.findings:
        if finding.spot.file.startswith(f"{ACTS_FOLDER}/"):
            reader.report.add(finding)
    return plan


def top_file(reader: Reader, names: list[str]) -> Mapping | None:
    """Return show.yaml laid over its rig, or the rig alone, or None."""
    first = next((name for name in ("show.yaml", "show.yml", "rig.yaml") if name in names), None)
    if first is None:
        return None
    root: Mapping | None = None
    done: list[str] = []
    name: str | None = first
    while name is not None:
        done.append(name)
        own = reader.yaml(name)
        if own is None or is_newer(own, reader.report):
            break
        root = joined(reader, root, own, name)
        name = rig_of(own, name, names, done, reader)
    return root


def joined(reader: Reader, root: Mapping | None, own: Mapping, name: str) -> Mapping:
    """Return what was read so far laid over a file."""

    def write_out() -> Mapping:
        foreign_sections(own, (*SECTION_NAMES, *KIND_SECTIONS), reader.report)
        return written_out(own, OVERLAID, reader.report)

    def lay() -> Mapping:
        laid = base if root is None else laid_over(root, base)
        assert isinstance(laid, Mapping)
        return laid

    base = reader.kept.part(("written out", name), (own,), reader.report, write_out)
    return reader.kept.part(("joined", name), (root, base), reader.report, lay)


def is_newer(root: Mapping, report: Report) -> bool:
    """Report and return whether a file is written for a newer format."""
    node = root.get("format")
    text = getattr(node, "text", "")
    if node is None or not text.isdigit() or int(text) <= FORMAT:
        return False
    report.add(
        FORMAT_NEWER.finding(
            node.spot.file,
            node.spot,
            f"{node.spot.file} is written for format {text}; this tailboard reads up to {FORMAT}",
            "read it with a newer tailboard",
        )
    )
    return True


def rig_of(own: Mapping, name: str, names: list[str], done: list[str], reader: Reader) -> str | None:
    """Return the file that `name` is laid over: its `rig` key, else rig.yaml beside show.yaml."""
    node = own.get("rig")
    text = getattr(node, "text", "")
    if node is None or not text:
        return "rig.yaml" if len(done) == 1 and name != "rig.yaml" and "rig.yaml" in names else None
    target = posixpath.normpath(posixpath.join(posixpath.dirname(name), text))
    if target in done:
        reader.report.add(
            RIG_LOOP.finding(
                target,
                node.spot,
                f"{name} is laid over {target}, which is laid over {name} in turn",
                "take 'rig' out of the file that is the base",
            )
        )
        return None
    return target


def library_of(reader: Reader, root: Mapping, names: list[str]) -> Library:
    """Return the kinds of the show: its own sections over the owner's files in kinds/ over what is built in."""
    report = reader.report
    files = [reader.yaml(name) for name in names if name.startswith("kinds/") and name.endswith((".yaml", ".yml"))]
    own = [file for file in files if file is not None]

    def make() -> Library:
        top, library = read_library(root, report), Library()
        for file in own:
            foreign_sections(file, KIND_SECTIONS, report)
            library = read_library(file, report).over(library)
        return top.over(library).over(built_in())

    return reader.kept.part(("library",), (root, *own), report, make)


def build(root: Mapping, tables: dict[str, Table], library: Library, reader: Reader) -> Model:
    """Return the model of the joined files and tables."""
    report, kept = reader.report, reader.kept

    def section(kind: type[R], name: str) -> dict[str, R]:
        return kept.part(("section", name), (root,), report, lambda: read_section(kind, root, name, report))

    def table(kind: type[R], name: str, id_name: str) -> dict[str, R]:
        source = (tables.get(name),)
        return kept.part(("table", name), source, report, lambda: table_records(kind, tables, name, id_name, report))

    return Model(
        heading=kept.part(("heading",), (root,), report, lambda: read_heading(root, report)),
        library=library,
        supplies=section(Supply, "supplies"),
        places=section(Place, "places"),
        vlans=section(Vlan, "vlans"),
        devices=section(Device, "devices"),
        ports=kept.part(("ports",), (root,), report, lambda: read_ports(root, report)),
        cables=section(Cable, "cables"),
        streams=section(Stream, "streams"),
        circuits=section(Circuit, "circuits"),
        lines=table(Line, "lines", "line"),
        buses=table(Bus, "buses", "bus"),
        sets=section(LineSet, "sets"),
        feeds=table(Feed, "feeds", "feed"),
        stations=table(Station, "comms", "station"),
        hearing=table(Hearing, "hearing", "listener"),
        requirements=section(Requirement, "requirements"),
        accepted=kept.part(
            ("accepted",), (root,), report, lambda: read_listed(Accepted, root, "accepted", "claim", report)
        ),
        confirmed=section(Confirmed, "confirmed"),
        found=found_of(reader),
    )


def found_of(reader: Reader) -> Found:
    """Return what stands in found/."""
    read: list[Mapping | Table | None] = []
    for name in reader.files.names():
        if name.startswith("found/") and name.endswith((".yaml", ".yml")):
            read.append(reader.yaml(name))
        elif name.startswith("found/") and name.endswith(".csv"):
            read.append(reader.csv(name, name.removeprefix("found/").removesuffix(".csv")))
    documents = tuple(document for document in read if document is not None)
    return reader.kept.part(("found",), documents, reader.report, lambda: read_found(documents, reader.report))


def table_records(kind: type[R], tables: dict[str, Table], name: str, id_name: str, report: Report) -> dict[str, R]:
    """Return the records of a table by their id."""
    table = tables.get(name)
    if table is None:
        return {}
    found: dict[str, R] = {}
    for cell, record in read_rows(kind, table, id_name, report):
        if record.id in found:
            first = found[record.id].at.spot("id")
            report.add(
                NAME_TWICE.finding(
                    (name, record.id),
                    cell.spot,
                    f"{id_name} {record.id} stands twice in {name}, first in row {first}",
                    f"give one of the two rows another {id_name}",
                )
            )
            continue
        found[record.id] = record
    return found
