"""The rules of the level family, in the order they are run."""

from tailboard.rules.level import (
    gain_out_of_range,
    gain_owner_missing,
    gain_owner_wrong,
    level_class_differs,
    peak_clips,
    phantom_wrong,
)

MODULES = (
    gain_owner_missing,
    gain_owner_wrong,
    gain_out_of_range,
    level_class_differs,
    peak_clips,
    phantom_wrong,
)
