"""The same show in another order: rows, columns, sections and entries shuffled, documents under other names."""

from __future__ import annotations

import random

from support.draft import Draft


def shuffled(draft: Draft, rng: random.Random) -> Draft:
    """Return a draft whose rows, columns, YAML sections and entries stand in another order."""
    files: dict[str, str] = {}
    for name, text in draft.files.items():
        if name.endswith(".yaml") and not name.startswith("found/"):
            files[name] = shuffled_yaml(text, rng)
        elif not name.endswith(".csv"):
            files[f"found/{rng.randint(0, 10**9)}.yaml" if name.startswith("found/") else name] = text
        else:
            files[name] = text
    done = Draft(files)
    for name in draft.files:
        if name.endswith(".csv") and "/" not in name:
            shuffle_table(done, name.removesuffix(".csv"), rng)
    return done


def shuffle_table(draft: Draft, table: str, rng: random.Random) -> None:
    """Shuffle the rows and the columns of a table."""
    header, *rows = draft.rows(table)
    rng.shuffle(rows)
    order = rng.sample(range(len(header)), len(header))
    draft.write(table, [[row[index] for index in order] for row in (header, *rows)])


def shuffled_yaml(text: str, rng: random.Random) -> str:
    """Return a YAML text with its sections, and the entries in them, in another order."""
    sections = blocks(text.splitlines(), 0)
    rng.shuffle(sections)
    out: list[str] = []
    for head, *rest in sections:
        out.append(head)
        entries = blocks(rest, 2)
        rng.shuffle(entries)
        out += [line for entry in entries for line in entry]
    return "\n".join(out) + "\n"


def blocks(lines: list[str], indent: int) -> list[list[str]]:
    """Return the blocks that begin at an indent; comments and blank lines are left out."""
    found: list[list[str]] = []
    for line in lines:
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if len(line) - len(line.lstrip()) == indent or not found:
            found.append([])
        found[-1].append(line)
    return found
