"""The rules of the level family, in the order they are run."""

from tailboard.rules.level import (
    alignment_differs,
    found_alignment_differs,
    gain_out_of_range,
    gain_owner_missing,
    gain_owner_wrong,
    level_class_differs,
    level_not_of_type,
    output_clips_input,
    peak_clips,
    peak_too_weak,
    phantom_wrong,
    signal_noisy,
)

MODULES = (
    gain_owner_missing,
    gain_owner_wrong,
    gain_out_of_range,
    level_class_differs,
    peak_clips,
    phantom_wrong,
    peak_too_weak,
    level_not_of_type,
    alignment_differs,
    found_alignment_differs,
    signal_noisy,
    output_clips_input,
)
