"""YAML text to values that keep their place. Nothing is constructed, every scalar stays text, every fault is reported."""

from tailboard.findings import Finding, Spot
from tailboard.text import faults
from tailboard.text.collector import without_collector
from tailboard.text.decoding import decode, empty
from tailboard.text.nodes import Mapping, Scalar, Sequence
from tailboard.text.yamlbuild import BrokenError, Builder
from tailboard.text.yamlparts import Parts


def read_yaml(name: str, data: bytes) -> tuple[Mapping | None, list[Finding]]:
    """Return the outermost mapping of a YAML file and the findings; None when there is none.

    A part that is broken is left out and named; the rest is read. Of two entries with one key the first counts. Aliases
    give the very node of their anchor, so a tree may share parts; it is never deeper than `yamlbuild.DEPTH_MAX`.
    """
    lines, findings = decode(name, data, blanks_matter=True)
    if lines is None:
        return None, findings
    with without_collector():
        builder = Builder(name)
        try:
            root = builder.build("\n".join(lines))
            findings += builder.findings
        except BrokenError as broken:
            parts = Parts(name, lines)
            root = parts.read(broken.finding)
            return root, [*findings, *parts.findings]
    if isinstance(root, Mapping):
        return root, findings
    if root is None or (isinstance(root, Scalar) and not root.text):
        return None, [*findings, empty(name, "holds nothing but comments")]
    return None, [*findings, _not_a_mapping(name, root)]


def _not_a_mapping(name: str, root: Scalar | Sequence) -> Finding:
    """Return the finding for a file whose outermost part is a list or a text."""
    what = "a list" if isinstance(root, Sequence) else f"the text '{root.text[:40]}'"
    spot = Spot(name, root.spot.line, root.spot.column)
    fix = "begin with the name of a section and a colon, and indent what belongs to it"
    return faults.TOP_NOT_A_MAPPING.finding(name, spot, f"{name} begins with {what}, not with 'name: value'", fix)
