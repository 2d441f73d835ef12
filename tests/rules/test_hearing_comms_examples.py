"""The documented examples of the rules on comms, and of what the hearing rules say of several feeds and of a matrix."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from tailboard.findings import Severity, Status

EXAMPLES = {
    "party-line-on-one-side": Example(
        """
# comms.csv
station,person,talk,listen
S-1,director,PL-A,PL-A
S-2,producer,PL-A,PL-A
S-3,assistant left,PL-A,"PL-A, LSF"
S-4,assistant right,PL-A,"PL-A, LSF"
""",
        ('left,PL-A,"PL-A, LSF"', 'left,"PL-A, LSF","PL-A, LSF"'),
        "comms.csv:4:25",
        ("nobody talks to LSF, which S-3 and S-4 hear", "no feed or circuit"),
    ),
    "station-name-unknown": Example(
        """
# comms.csv
station,person,talk,keys,listen
S-1,director,PL-A,TLE,PL-A
S-2,producer,PL-A,,PL-A
# lines.csv
line,label
1,VLN
# feeds.csv
feed,label,listener,by,mix,output
TEL,TEL,guest,ear,1,CON-1/o1
""",
        ("PL-A,TLE,PL-A", "PL-A,TEL,PL-A"),
        "comms.csv:2:19",
        ("S-1 has a key to TLE", "did you mean TEL?"),
    ),
    "interrupt-differs-from-keys": Example(
        """
# comms.csv
station,person,talk,keys,listen
KP-1,producer,PL-A,IFB1,PL-A
KP-2,director,PL-A,,PL-A
# lines.csv
line,label
1,VLN
# feeds.csv
feed,label,listener,by,mix,interrupt,output
IFB1,IFB 1,commentator,ear,1,"KP-1, KP-2",CON-1/o1
""",
        ("director,PL-A,,PL-A", "director,PL-A,IFB1,PL-A"),
        "feeds.csv:2:30",
        ("KP-2 has no key to IFB1, and interrupt of IFB1 names it", "keys of KP-2: none"),
    ),
    "station-device-shared": Example(
        """
# comms.csv
station,person,device,talk,listen
S-1,director,PNL-1,PL-A,PL-A
S-2,producer,PNL-1,PL-A,PL-A
# show.yaml
places:
  gallery: {}
devices:
  PNL-1: {kind: key-panel, place: gallery}
  PNL-2: {kind: key-panel, place: gallery}
""",
        ("producer,PNL-1", "producer,PNL-2"),
        "comms.csv:3:14",
        ("S-1 and S-2 are both at PNL-1, a panel for one", "director"),
    ),
    "station-cut-off": Example(
        """
# comms.csv
station,person,device,talk,listen
S-1,director,PNL-1,PL-A,PL-A
S-2,producer,PNL-2,PL-A,PL-A
# show.yaml
places:
  rack: {}
vlans:
  COMMS: {id: 50, subnet: 10.0.50.0/24}
  OTHER: {id: 60, subnet: 10.0.60.0/24}
devices:
  SW-T: {kind: switch-16-copper-4-sfp, place: rack}
  ICM-1: {kind: intercom-base, place: rack, address: {COMMS: 10.0.50.10}}
  PNL-1: {kind: key-panel, place: rack, address: {COMMS: 10.0.50.21}}
  PNL-2: {kind: key-panel, place: rack}
switches:
  SW-T:
    1: {access: COMMS}
    2: {access: COMMS, PoE: on}
    3: {access: OTHER, PoE: on}
cables:
  R-1: {kind: cat stranded, length: 5 m, from: SW-T/1, to: ICM-1/net}
  R-2: {kind: cat stranded, length: 5 m, from: SW-T/2, to: PNL-1}
  R-3: {kind: cat stranded, length: 5 m, from: SW-T/3, to: PNL-2}
""",
        ("access: OTHER", "access: COMMS"),
        "comms.csv:3:14",
        ("S-2 (producer) at PNL-2 does not reach ICM-1",),
    ),
    "station-feed-differs": Example(
        """
# lines.csv
line,label
28,FM
# comms.csv
station,person,by line,by feed,talk,listen
S-1,director,,,"PL-A, PL-E","PL-A, PL-E"
S-2,producer,,,"PL-A, PL-E","PL-A, PL-E"
FM,floor manager,28,FMR1,PL-E,"PL-E, PL-A"
# feeds.csv
feed,label,listener,by,mix,minus,output
FMR1,FMR,floor manager,ear,PL-E,28,SB-1/o4
""",
        ('PL-E,"PL-E, PL-A"', "PL-E,PL-E"),
        "comms.csv:4:31",
        ("FM is to listen to PL-A, not in FMR1, by which it hears", "FMR1 holds PL-E"),
    ),
    "hearing-name-unknown": Example(
        """
# lines.csv
line,label
1,VLN
# comms.csv
station,person,talk,listen
S-SM,stage manager,PL-A,PL-A
S-DIR,director,PL-A,PL-A
# feeds.csv
feed,label,listener,by,mix,output
FD1,EAR,presenter,ear,1,CON-1/o1
# hearing.csv
listener,by,always,never
presenter,FD1,1,S-SMM
""",
        ("S-SMM", "S-SM"),
        "hearing.csv:2:17",
        ("'S-SMM' under 'never' of presenter", "did you mean S-SM?"),
    ),
    "bed-differs": Example(
        """
# lines.csv
line,label
1,VLN
2,VCL
# feeds.csv
feed,label,listener,by,mix,bed,output
IFB1,IFB 1,commentator 1,ear,"1, 2",,CON-1/o1
IFB2,IFB 2,commentator 2,ear,1,IFB1,CON-1/o2
""",
        ("ear,1,IFB1", 'ear,"1, 2",IFB1'),
        "feeds.csv:3:30",
        ("IFB2 shares the channel of IFB1", "gets line 2", "IFB1: 1, 2"),
    ),
    "bridge-not-nulled": Example(
        """
# show.yaml
places:
  rack: {}
devices:
  ICM-1: {kind: intercom-base, place: rack}
circuits:
  CW-3: {device: ICM-1, out: ICM-1/4W3out, two-wire: yes}
""",
        ("two-wire: yes", "two-wire: yes, nulled: comms technician 2027-11-20"),
        "show.yaml:6:54",
        ("CW-3 is a two-wire circuit at ICM-1/4W3out", "nulled"),
    ),
}

FURTHER = {
    "a row of several persons, one of whom misses something": (
        "listener-misses-source",
        Example(
            """
# lines.csv
line,label
1,VLN
2,VCL
# feeds.csv
feed,label,listener,by,mix,output
IFB1,IFB 1,commentator 1,ear,"1, 2",CON-1/o1
IFB2,IFB 2,commentator 2,ear,1,CON-1/o2
# hearing.csv
listener,by,always
commentators,"IFB1, IFB2","1, 2"
""",
            ("ear,1,CON-1", 'ear,"1, 2",CON-1'),
            "feeds.csv:3:30",
            ("commentator 2 does not get line 2 by IFB2", "commentator 1 does by IFB1"),
        ),
    ),
    "a station of a matrix that the feed does not pass": (
        "interrupt-without-way",
        Example(
            """
# lines.csv
line,label,hole,strip
1,VLN,CON-1/a2,CON-1/1
# comms.csv
station,person,device,talk,keys,listen
KP-1,producer,KP-1,PL-A,IFB1,PL-A
KP-2,director,KP-2,PL-A,,PL-A
# feeds.csv
feed,label,listener,by,mix,interrupt,output,device
IFB1,IFB 1,commentator,ear,1,KP-1,CON-1/o1,CON-1
# show.yaml
places:
  rack: {}
devices:
  CON-1: {kind: console-128, place: rack}
  ICS-1: {kind: intercom-matrix-32, place: rack}
  KP-1..2: {kind: own-supply-panel, place: "rack, rack"}
circuits:
  CW-1: {device: ICS-1, out: ICS-1/1}
""",
            ("IFB1,PL-A\n", '"IFB1, CW-1",PL-A\n'),
            "feeds.csv:2:30",
            ("KP-1 cannot interrupt IFB1", "IFB1 is made by CON-1 and does not pass ICS-1"),
        ),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_example_fires_alone_and_its_repair_is_silent(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


@pytest.mark.parametrize("case", FURTHER)
def test_further_example_fires_alone_and_its_repair_is_silent(case: str) -> None:
    prove_example(*FURTHER[case])


@pytest.mark.parametrize(("count", "status"), [(24, Status.HOLDS_IF), (25, Status.BROKEN)])
def test_a_matrix_serves_no_more_stations_than_its_kind_says(count: int, status: Status) -> None:
    """The kind intercom-matrix-32 serves 24 stations, an example value."""
    rows = "\n".join(f"S-{n},person {n},KP-{n},PL-A,PL-A" for n in range(1, count + 1))
    places = ", ".join(["rack"] * count)
    draft = show(
        f"# comms.csv\nstation,person,device,talk,listen\n{rows}\n# show.yaml\nplaces: {{rack: {{}}}}\ndevices:\n"
        f"  ICS-1: {{kind: intercom-matrix-32, place: rack}}\n"
        f'  KP-1..{count}: {{kind: own-supply-panel, place: "{places}"}}\n'
    )
    (claim,) = [claim for claim in draft.claims("capacity-exceeded") if claim.subject[-1] == "stations"]
    assert claim.status is status


@pytest.mark.parametrize(("place", "status"), [(", place: rack", Status.HOLDS), ("", Status.OPEN)])
def test_the_device_of_a_station_is_in_use(place: str, status: Status) -> None:
    draft = show(
        f"""
# comms.csv
station,person,device,talk,listen
S-1,director,BP-1,PL-A,PL-A
# show.yaml
places: {{rack: {{}}}}
devices:
  BP-1: {{kind: radio-belt-pack{place}}}
"""
    )
    (claim,) = draft.claims("device-nowhere")
    assert (claim.subject, claim.status) == (("BP-1",), status)


def test_a_station_that_interrupts_without_any_circuit_written_is_open() -> None:
    """Where no circuit of the base is written, how a station comes to the desk is not known: open, not broken."""
    draft = show(
        """
# lines.csv
line,label
1,VLN
# comms.csv
station,person,device,talk,listen
S-1,director,PNL-1,PL-A,PL-A
S-2,producer,PNL-2,PL-A,PL-A
# feeds.csv
feed,label,listener,by,mix,interrupt,output,device
FD1,EAR,presenter,ear,1,S-1,CON-1/o1,CON-1
# show.yaml
devices:
  CON-1: {kind: console-96}
  ICM-1: {kind: intercom-base}
  PNL-1..2: {kind: key-panel}
"""
    )
    (claim,) = draft.claims("interrupt-without-way")
    assert claim.status is Status.OPEN
    assert claim.finding is not None
    assert "no circuit is written" in claim.finding.message


def test_a_lone_list_of_stations_gets_no_errors_but_its_own() -> None:
    draft = show("# comms.csv\nstation,person,talk\nS-1,director,PL-A\nS-2,producer,PL-B\n")
    assert [finding.id for finding in draft.findings() if finding.severity > Severity.NOTE] == []
