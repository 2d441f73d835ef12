"""The faults of reading fields: a key, a value or a name that does not fit. Each has its document."""

from tailboard.findings import Rule, Severity

KEY_UNKNOWN = Rule(
    "key-unknown",
    "reading",
    Severity.ERROR,
    """A key or a section is written that the format does not have.

What it finds: a misspelt or foreign key in a YAML file; the nearest known key is named.
Why it matters: a misspelt key is silently absent, and the plan is proven without it.
Example: `acces: AUDIO` at a switch port.
Fix: write the key as the format has it, here `access: AUDIO`; a remark goes into `note`.
Does not find: a right key with a wrong value.
Source: the format of this project, docs/format.md.
""",
)
COLUMN_UNKNOWN = Rule(
    "column-unknown",
    "reading",
    Severity.WARNING,
    """A table has a column that the format does not have.

What it finds: a column heading that is not in the format; the nearest known heading is named.
Why it matters: what stands in the column takes no part in any proof.
Example: a column `hol` beside the lines; `hole` is meant.
Fix: rename the heading; a column of your own may be kept under a heading that begins with `note`.
Does not find: a value in the wrong column.
Source: the format of this project, docs/format.md.
""",
)
VALUE_UNFIT = Rule(
    "value-unfit",
    "reading",
    Severity.ERROR,
    """A value does not have the form that its field needs.

What it finds: wrong or missing units, numbers outside their limits, words that are none of the choices, broken addresses.
Why it matters: the value is left out, and claims that need it stay open.
Example: `length: 150` at a cable: no unit.
Fix: write the value in the form that the message names, here `150 m`.
Does not find: a value of the right form that is not true.
Source: the format of this project, docs/format.md.
""",
)
VALUE_MISSING = Rule(
    "value-missing",
    "reading",
    Severity.ERROR,
    """A record lacks a value that it cannot do without.

What it finds: a device without a kind, a feed without a mix, a bus without a device, and the like.
Why it matters: nothing can be said of the record.
Example: `REC-1: {place: booth}` without `kind`.
Fix: write the missing key.
Does not find: a value that only some claims need; those claims are open and name it.
Source: the format of this project, docs/format.md.
""",
)
FORM_WRONG = Rule(
    "form-wrong",
    "reading",
    Severity.ERROR,
    """A list, a mapping or a text stands where another form is needed.

What it finds: `devices:` followed by a list, a text where keys are expected, a mapping where a name is expected.
Why it matters: the part cannot be read.
Example: `vlans: [AUDIO, MGMT]`; each VLAN needs its keys, as in `vlans: {AUDIO: {id: 20}}`.
Fix: write it in the form that the message names.
Does not find: a wrong value in the right form.
Source: the format of this project, docs/format.md.
""",
)
NAME_TWICE = Rule(
    "name-twice",
    "reading",
    Severity.ERROR,
    """Two rows or entries of one table bear the same name.

What it finds: two lines with one number, two feeds or stations with one id, a range that writes an entry a second time.
Why it matters: nobody can say which of the two a document means; the second is left out.
Example: two rows of lines.csv begin with `7`.
Fix: give one of them another number.
Does not find: two lines with one label; see labels-alike.
Source: unique identifiers, common practice, no source.
""",
)
NAME_UNKNOWN = Rule(
    "name-unknown",
    "reading",
    Severity.ERROR,
    """A name is used that nothing in the show bears.

What it finds: a device, place, VLAN, cable, kind, bus, line or feed that is named but never written down.
Why it matters: the chain ends there, and what hangs on it cannot be proven.
Example: `place: wng` where only `wing` exists.
Fix: correct the name (the nearest one is given) or add the thing.
Does not find: a right name used in the wrong place.
Source: the format of this project, docs/format.md.
""",
)

RULES = (KEY_UNKNOWN, COLUMN_UNKNOWN, VALUE_UNFIT, VALUE_MISSING, FORM_WRONG, NAME_TWICE, NAME_UNKNOWN)
