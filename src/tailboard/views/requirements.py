"""Requirements with their status: the worst of the claims that prove them."""

from __future__ import annotations

from fnmatch import fnmatchcase
from typing import TypedDict

from tailboard.findings import Claim, Status
from tailboard.model.show import Model
from tailboard.rules.run import Proof
from tailboard.text.ranges import compress
from tailboard.views.places import PlaceView, Sources, place_view

WORST_FIRST = ("broken", "open", "accepted", "none listed", "holds if", "holds")


class RequirementView(TypedDict):
    """One requirement.

    status  the worst of its claims; `open` where no claim proves it.
    claims  how many claims prove it; worst: ids of those that have its status, unless it holds.
    """

    id: str
    must: str
    status: str
    reason: str
    claims: int
    worst: list[str]
    place: PlaceView


def requirement_views(model: Model, proof: Proof, sources: Sources) -> list[RequirementView]:
    """Return every requirement with its status."""
    ids = [claim.id for claim in proof.claims]
    found: list[RequirementView] = []
    for name, requirement in model.requirements.items():
        chosen = [proof.claims[index] for index in matching(ids, requirement.proven_by)]
        status, worst = worst_of(chosen, proof)
        found.append(
            {
                "id": name,
                "must": requirement.must,
                "status": status,
                "reason": "" if chosen else unproven(requirement.proven_by),
                "claims": len(chosen),
                "worst": worst,
                "place": place_view(requirement.at.spot(), sources),
            }
        )
    return found


def unproven(patterns: tuple[str, ...]) -> str:
    """Return why a requirement has no claims."""
    if not patterns:
        return "it names no claims under 'proven by'"
    return f"no claim of this show begins as '{compress(patterns)}' says"


def matching(ids: list[str], patterns: tuple[str, ...]) -> list[int]:
    """Return the indexes of the ids that one of the patterns fits; `line-*` fits all that begin with `line-`."""
    found: set[int] = set()
    for pattern in patterns:
        stem = pattern.removesuffix("*")
        if any(sign in stem for sign in "*?["):
            found.update(index for index, name in enumerate(ids) if fnmatchcase(name, pattern))
        elif pattern.endswith("*"):
            found.update(index for index, name in enumerate(ids) if name.startswith(stem))
        else:
            found.update(index for index, name in enumerate(ids) if name == pattern or name.startswith(f"{pattern}:"))
    return sorted(found)


def worst_of(claims: list[Claim], proof: Proof) -> tuple[str, list[str]]:
    """Return the worst status among claims, and the ids of the claims that have it unless it is 'holds'."""
    by_status: dict[str, list[str]] = {}
    for claim in claims:
        accepted = claim.status is Status.BROKEN and claim.id in proof.accepted
        by_status.setdefault("accepted" if accepted else claim.status.value, []).append(claim.id)
    status = next((word for word in WORST_FIRST if word in by_status), "open")
    return status, [] if status == "holds" else by_status.get(status, [])
