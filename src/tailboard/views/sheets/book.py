"""The whole book in its order: cover and card, a section for each place, then the departments."""

from __future__ import annotations

from tailboard.answers.ask import Ask
from tailboard.model.reading import Reading
from tailboard.rules.run import Proof
from tailboard.views.questions import questions_view
from tailboard.views.sheets.asking import question_sheets, survey
from tailboard.views.sheets.audio import (
    act_sheets,
    feeds_list,
    gains_sheet,
    input_list,
    line_check,
    line_up,
    patch_sheets,
)
from tailboard.views.sheets.card import show_card
from tailboard.views.sheets.comms import comms_list, ear_slips, station_sheets
from tailboard.views.sheets.handoff import hand_off
from tailboard.views.sheets.matrix import matrix_sheets
from tailboard.views.sheets.networking import clock_sheet, drawings, network_sheet, stream_sheet
from tailboard.views.sheets.papers import cover, logs, register_sheet
from tailboard.views.sheets.place import all_places, place_sheet
from tailboard.views.sheets.records import Sheet
from tailboard.views.sheets.rigging import cable_schedule, fibre_sheet, pack_list, power_sheet, strike_list
from tailboard.views.verdict import check_view


def book_sheets(ask: Ask, reading: Reading, proof: Proof) -> tuple[Sheet, ...]:
    """Return every sheet of a show that its plan has something for, in the order of the book."""
    model = ask.model
    sheets: list[Sheet | None] = [cover(ask, check_view(reading, proof)), show_card(ask)]
    for place in [*all_places(model), ""]:
        sheets += [place_sheet(ask, place) if place else None, *patch_sheets(ask, place)]
        sheets += [*station_sheets(ask, place), *ear_slips(ask, place)]
    sheets += [
        input_list(ask), feeds_list(ask) if model.feeds else None, *act_sheets(ask),
        gains_sheet(ask), line_check(ask), line_up(ask),
        comms_list(ask), *matrix_sheets(ask),
        network_sheet(ask), stream_sheet(ask), clock_sheet(ask), *hand_off(ask), drawings(ask), register_sheet(ask),
        cable_schedule(ask), fibre_sheet(ask), power_sheet(ask), pack_list(ask), strike_list(ask),
        *question_sheets(questions_view(reading, proof)), survey(ask), *logs(),
    ]  # fmt: skip
    return tuple(sheet for sheet in sheets if sheet is not None)
