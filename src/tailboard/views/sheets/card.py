"""The show card for the pocket: telephones, places, reserves, and what to do if something dies; one page, whatever the show."""

from __future__ import annotations

from collections.abc import Sequence

from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.answers.fault_things import SORTS
from tailboard.answers.faults import faults
from tailboard.answers.party_lines import party_lines
from tailboard.model.show import Model
from tailboard.text.ranges import compress
from tailboard.units.wording import counted, listed
from tailboard.views.fails import LEFT_OUT, FailureView, failure_view, sort_masks, sort_of
from tailboard.views.sheets.making import place_words, places_in_order
from tailboard.views.sheets.records import Sheet, Words

DIES_MAX = 10  # job.md D17: "if this dies do this" (10 lines)
LOOKED_MAX = 60  # of the worst failures that are searched for something to do: own choice
BARE_LEAST = 3  # of them listed though nothing is planned: everybody is to know them
TELEPHONES_MAX = 8  # own choices, as below: what one half of a page holds beside the rest
PLACES_MAX = 12
RESERVES_MAX = 12
SWITCHES_MAX = 8
BLANK = "_" * 30


def show_card(ask: Ask) -> Sheet:
    """Return the card. What no longer fits is counted, with where it stands."""
    model = ask.model
    contacts = contacts_of(model)
    lines = list(ask(party_lines).channels)
    words = [
        Words("Telephones", (*cut(contacts, TELEPHONES_MAX, "the sheets of the places"), *[BLANK] * max(0, 5 - len(contacts)))),
        Words("Places", cut(place_lines(model), PLACES_MAX, "the sheets of the places")),
        Words("Reserves", cut(reserve_lines(model), RESERVES_MAX, "the input list") or ("none is written",)),
        Words("If this dies, do this", tuple(map(dies_words, worst_failures(ask))) or ("nothing in the plan is lost by a single failure",)),
    ]  # fmt: skip
    if lines:
        words.append(Words("Party lines", (listed(lines, 12),)))
    leaders = [f"{one.name}: {one.leader.device}" for one in ask(clock).islands if one.leader is not None]
    if leaders:
        words.append(Words("Clock leader", cut(leaders, 4, "the clock sheet")))
    if model.switches:
        words.append(Words("Switches", cut(switch_lines(model), SWITCHES_MAX, "the network sheet")))
    words.append(Words("Last good baseline; passwords are with", (BLANK, BLANK)))
    return Sheet("card", "card", "Show card", department="everyone", words=tuple(words), pocket=True)


def cut(points: Sequence[str], most: int, where: str) -> tuple[str, ...]:
    """Return the first sentences, and how many more stand elsewhere."""
    more = len(points) - most
    return (*points[:most], f"and {more} more: see {where}") if more > 0 else tuple(points)


def contacts_of(model: Model) -> list[str]:
    """Return our own people, then who places and supplies name, each once."""
    told = [f"{role}: {number}" for role, number in (model.heading.contacts or {}).items()]
    told += [f"{place.name or name}: {place.contact}" for name, place in model.places.items() if place.contact]
    by_contact: dict[str, list[str]] = {}
    for name, supply in model.supplies.items():
        if supply.contact:
            by_contact.setdefault(supply.contact, []).append(name)
    return [*told, *(f"power {compress(names)}: {contact}" for contact, names in by_contact.items())]


def place_lines(model: Model) -> list[str]:
    """Return the places in walking order, each with the boxes and switches that stand there."""
    at: dict[str, list[str]] = {}
    for name, device in model.devices.items():
        if model.kind_of(name).role in {"box", "switch", "console", "matrix"}:
            at.setdefault(device.place or "", []).append(name)
    return [
        f"{place_words(model, place)}: {listed(at[place], 6)}" if place in at else place_words(model, place)
        for place in places_in_order(model)
    ]


def reserve_lines(model: Model) -> list[str]:
    """Return the lines that have a reserve, with its hole and strip."""
    found = []
    for name, line in model.lines.items():
        for other in line.reserve:
            reserve = model.lines.get(other)
            where = [*filter(None, (reserve.hole,)), *reserve.strips] if reserve is not None else []
            found.append(f"{name} {line.label}: take {other}" + (f" ({', '.join(where)})" if where else ""))
    return found


def switch_lines(model: Model) -> list[str]:
    """Return the switches with the first address that is written for each."""
    return [f"{name} {next(iter((model.devices[name].address or {}).values()), '')}".strip() for name in model.switches]


def worst_failures(ask: Ask) -> list[FailureView]:
    """Return the failures for the card, the worst first: the very worst, then those for which there is something to do.

    Steps are worked out for the worst `LOOKED_MAX` alone.
    """
    found = ask(faults)
    order = {sort: number for number, sort in enumerate(SORTS)}
    lost = {thing: mask for thing, mask in found.all().items() if mask and sort_of(thing) not in LEFT_OUT}
    worst = sorted(lost, key=lambda thing: (-lost[thing].bit_count(), order[sort_of(thing)], thing))
    sorts = sort_masks(found)
    seen: list[FailureView] = []
    for thing in worst[:LOOKED_MAX]:
        seen.append(failure_view(ask, found, thing, sorts))
        if sum(bool(one["instead"]) for one in seen) >= DIES_MAX - BARE_LEAST:
            break
    helped = [one for one in seen if one["instead"]]
    bare = [one for one in seen if not one["instead"]][: max(BARE_LEAST, DIES_MAX - len(helped))]
    chosen = {one["thing"] for one in (*bare, *helped[: DIES_MAX - len(bare)])}
    return [one for one in seen if one["thing"] in chosen]


def dies_words(one: FailureView) -> str:
    """Return one failure with what to do."""
    lost = ", ".join(counted(count, noun) for count, noun in ((one["lines"], "line"), (one["feeds"], "feed")) if count)
    return f"{one['words']} ({lost or 'talk only'}): {one['instead'] or 'no stand-in is planned'}"
