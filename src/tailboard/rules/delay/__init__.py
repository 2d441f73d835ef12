"""The rules of the delay family, in the order they are run."""

from tailboard.rules.delay import (
    conversation_late,
    feed_late,
    fold_back_late,
    link_offset_short,
    own_voice_late,
    packet_late,
    sound_off_picture,
    source_arrives_twice,
)

MODULES = (
    feed_late,
    own_voice_late,
    fold_back_late,
    conversation_late,
    sound_off_picture,
    source_arrives_twice,
    link_offset_short,
    packet_late,
)
