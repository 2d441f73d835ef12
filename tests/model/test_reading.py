"""A folder becomes a model: overlay, ranges, templates, places, found documents, own kinds."""

from __future__ import annotations

import pytest

from support.draft import Draft
from tailboard.findings import Spot
from tailboard.model.reading import read
from tailboard.text.folder import Texts

RIG = """\
format: 1
vlans: {AUDIO: {id: 20, subnet: 10.41.20.0/24}, MGMT: {id: 10}}
devices:
  SW-T: {kind: switch-16-copper-4-sfp, place: rack, address: {AUDIO: 10.41.20.2}}
  SB-1..2: {kind: stage-box-24x12, address: {AUDIO: 10.41.20.21..22}}
places: {rack: {}, wing: {}, stage: {}}
templates:
  audio: {access: AUDIO, EEE: off}
switches:
  SW-T:
    1-2: audio
    3: {use: audio, PoE: on, EEE: on}
"""


def clean(files: dict[str, str]) -> Draft:
    """Return a draft after making sure that reading finds nothing wrong with it."""
    draft = Draft(files)
    assert [finding.message for finding in draft.read().findings] == []
    return draft


def test_a_lone_list_of_lines_is_a_show() -> None:
    model = clean({"lines.csv": "line,source,strip\n1,piano,CON-1/1\n2,voice,CON-1/2\n"}).read().model
    assert list(model.lines) == ["1", "2"]
    assert model.lines["2"].strips == ("CON-1/2",)
    assert model.heading.format == 1
    assert model.heading.at.how("format") == "derived: there is no show.yaml"


def test_a_show_is_laid_over_its_rig_key_by_key() -> None:
    show = "format: 1\nrig: rig.yaml\ndevices: {SB-1: {link offset: 1 ms, address: {MGMT: 10.41.10.9}}}\n"
    model = clean({"show.yaml": show, "rig.yaml": RIG}).read().model
    box = model.devices["SB-1"]
    assert box.kind == "stage-box-24x12"
    assert box.link_offset_s == pytest.approx(0.001)
    assert box.address == {"AUDIO": "10.41.20.21", "MGMT": "10.41.10.9"}
    assert model.devices["SB-2"].address == {"AUDIO": "10.41.20.22"}
    assert box.at.spot("link_offset_s").file == "show.yaml"
    assert box.at.spot("kind").file == "rig.yaml"


def test_what_the_show_says_counts_before_what_the_rig_says() -> None:
    show = "rig: rig.yaml\nvlans: {AUDIO: {id: 21}}\n"
    model = clean({"show.yaml": show, "rig.yaml": RIG}).read().model
    assert model.vlans["AUDIO"].number == 21
    assert str(model.vlans["AUDIO"].subnet) == "10.41.20.0/24"


def test_a_rig_beside_the_show_is_taken_without_being_named() -> None:
    assert "SB-2" in clean({"show.yaml": "format: 1\n", "rig.yaml": RIG}).read().model.devices


def test_a_rig_alone_is_read() -> None:
    assert "SB-2" in clean({"rig.yaml": RIG}).read().model.devices


def test_a_rig_may_stand_in_another_folder_and_on_a_base_of_its_own() -> None:
    files = {
        "show.yaml": "rig: rigs/van.yaml\n",
        "rigs/van.yaml": "rig: base/all.yaml\ndevices: {SB-1: {place: wing}}\n",
        "rigs/base/all.yaml": RIG,
    }
    model = clean(files).read().model
    assert model.devices["SB-1"].place == "wing"
    assert model.devices["SB-1"].kind == "stage-box-24x12"


def test_a_range_in_a_key_stands_for_each_name() -> None:
    show = (
        "devices: {SB-1..3: {kind: stage-box-24x12, address: {AUDIO: 10.0.0.5..7}, place: 'a, a, b'}}\n"
        "places: {a: {}, b: {}}\nvlans: {AUDIO: {id: 2}}\n"
        "cables: {M-01..03: {kind: mic, length: 5 m, from: line 1..3, to: SB-1/1..3}}\n"
    )
    model = clean({"show.yaml": show}).read().model
    assert [device.place for device in model.devices.values()] == ["a", "a", "b"]
    assert model.devices["SB-3"].address == {"AUDIO": "10.0.0.7"}
    assert (model.cables["M-02"].end_a, model.cables["M-02"].end_b) == ("line 2", "SB-1/2")
    assert model.cables["M-02"].pieces_m == (5.0,)


def test_one_name_of_a_range_can_be_overlaid() -> None:
    model = clean({"show.yaml": "devices: {SB-2: {place: stage}}\n", "rig.yaml": RIG}).read().model
    assert model.devices["SB-2"].place == "stage"
    assert model.devices["SB-1"].place is None


def test_a_list_under_a_range_belongs_to_each_name_whole() -> None:
    show = (
        "vlans: {A: {id: 2}, B: {id: 3}}\ndevices: {X: {kind: switch-8-copper-2-sfp}, Y: {kind: switch-8-copper-2-sfp}}\n"
        "cables: {F-1..2: {kind: cat solid, carries: [A, B], from: X/1..2, to: Y/1..2}}\n"
    )
    model = clean({"show.yaml": show}).read().model
    assert model.cables["F-1"].carries == ("A", "B")
    assert model.cables["F-2"].carries == ("A", "B")


def test_a_port_takes_from_its_template_what_it_does_not_say() -> None:
    ports = clean({"rig.yaml": RIG}).read().model.ports
    assert (ports["SW-T/2"].access, ports["SW-T/2"].eee, ports["SW-T/2"].poe) == ("AUDIO", False, None)
    assert (ports["SW-T/3"].access, ports["SW-T/3"].eee, ports["SW-T/3"].poe) == ("AUDIO", True, True)


def test_stands_say_where_devices_of_the_rig_are() -> None:
    show = "stands: {SB-1: wing, SB-2: stage}\n"
    model = clean({"show.yaml": show, "rig.yaml": RIG}).read().model
    assert (model.place_of("SB-1"), model.place_of("SB-2")) == ("wing", "stage")
    assert model.devices["SB-1"].at.spot("place").file == "show.yaml"


def test_a_supply_is_that_of_the_place_unless_the_device_says_otherwise() -> None:
    show = (
        "supplies: {HALL: {earth: EH}, GEN: {earth: ET}}\nplaces: {wing: {supply: HALL}}\n"
        "devices: {A: {kind: camera, place: wing}, B: {kind: camera, place: wing, supply: GEN}}\n"
    )
    model = clean({"show.yaml": show}).read().model
    assert (model.supply_of("A"), model.supply_of("B")) == ("HALL", "GEN")


def test_found_documents_are_read_from_yaml_and_from_tables() -> None:
    files = {
        "rig.yaml": RIG,
        "found/sw-t.yaml": "read: {by: assistant, on: 2027-11-19 16:20}\nports: {SW-T: {1-2: {state: up, untagged: 20}}}\n",
        "found/lid.csv": "hole,label,by\nSB-1/1,PNO L,assistant\nSB-1/2,,assistant\n",
        "found/more.csv": 'port,state,tagged\nSW-T/3,shut,"10, 20"\n',
        "found/house.yaml": "house: {ranges in use: [192.168.1.0/24, 10.0.0.0/8], port for us: none}\n",
    }
    found = clean(files).read().model.found
    assert (found.ports["SW-T/2"].untagged, found.ports["SW-T/2"].by, found.ports["SW-T/2"].on) == (
        "20", "assistant", "2027-11-19 16:20",
    )  # fmt: skip
    assert found.ports["SW-T/3"].tagged == ("10", "20")
    assert (found.labels["SB-1/1"].label, found.labels["SB-1/2"].label) == ("PNO L", "")
    assert [str(net) for net in found.houses["house"].subnets] == ["192.168.1.0/24", "10.0.0.0/8"]


def test_labels_in_a_document_may_be_a_list_under_a_range() -> None:
    text = "labels: {SB-1: {1..3: [VLN, VCL, '-'], o1..2: blank}}\n"
    found = clean({"rig.yaml": RIG, "found/lid.yaml": text}).read().model.found
    assert [found.labels[f"SB-1/{jack}"].label for jack in ("1", "2", "3", "o1", "o2")] == ["VLN", "VCL", "", "", ""]


def test_kinds_of_ones_own_stand_in_the_rig_or_in_their_folder() -> None:
    kind = "{role: box, figures: data sheet, ports: {1..4: {way: in, level: mic}, o1..2: {way: out}}, paths: {1..4: send 1..4}}"
    for files in (
        {"show.yaml": f"kinds: {{my-box: {kind}}}\ndevices: {{B: {{kind: my-box}}}}\n"},
        {"show.yaml": "devices: {B: {kind: my-box}}\n", "kinds/mine.yaml": f"kinds: {{my-box: {kind}}}\n"},
    ):
        own = clean(files).read().model.kind_of("B")
        assert list(own.ports or {}) == ["1", "2", "3", "4", "o1", "o2"]
        assert (own.paths or {})["3"] == ("send 3",)
        assert own.figures == "data sheet"


def test_a_kind_of_ones_own_counts_before_a_built_in_one() -> None:
    files = {
        "show.yaml": "devices: {B: {kind: stage-box-24x12}}\n",
        "kinds/mine.yaml": "kinds: {stage-box-24x12: {role: box, ports: {1..2: {way: in}}}}\n",
    }
    assert list(clean(files).read().model.kind_of("B").ports or {}) == ["1", "2"]


def test_values_keep_the_spot_where_they_were_written() -> None:
    model = clean({"lines.csv": 'line,source,label\n1,"piano, low",PNO\n'}).read().model
    assert model.lines["1"].at.spot("label") == Spot("lines.csv", 2, 16, 3)
    assert model.lines["1"].at.spot("source") == Spot("lines.csv", 2, 3, 12)
    rig = clean({"rig.yaml": RIG}).read().model
    assert str(rig.devices["SW-T"].at.spot("place")) == "rig.yaml:4:47"


def test_tables_may_use_semicolons_decimal_commas_and_a_mark() -> None:
    text = "\ufeffline;source;gain\r\n1;piano;30,5\r\n"
    model = read(Texts({"lines.csv": text.encode()})).model
    assert model.lines["1"].gain_db == pytest.approx(30.5)


def test_a_second_row_of_the_same_number_is_left_out() -> None:
    reading = Draft({"lines.csv": "line,label\n7,A\n7,B\n"}).read()
    assert reading.model.lines["7"].label == "A"
    assert [finding.rule for finding in reading.findings] == ["name-twice"]


def test_reading_goes_on_after_each_fault() -> None:
    files = {
        "show.yaml": "devcies: {}\nvlans: {A: {id: 9999}}\nplaces: {wing: {visit: first}}\n",
        "lines.csv": "line,label\n1,A\n1,B\n",
        "feeds.csv": "feed,mix\nFD1,\n",
    }
    rules = [finding.rule for finding in Draft(files).read().findings]
    assert sorted(rules) == [
        "key-unknown",
        "name-twice",
        "value-missing",
        "value-missing",
        "value-unfit",
        "value-unfit",
    ]
