"""The rules of the hearing family, in the order they are run."""

from tailboard.rules.hearing import (
    audience_microphone_in_pa,
    bus_loop,
    coupling_not_stated,
    feed_loop,
    feed_returns_to_its_desk,
    feed_without_source,
    heard_only_on_key,
    interrupt_without_way,
    listener_hears_forbidden,
    listener_misses_source,
    microphone_in_own_loudspeaker,
    minus_open,
    never_on_programme,
    own_voice_in_feed,
    station_hears_itself,
)

MODULES = (
    bus_loop,
    feed_without_source,
    minus_open,
    own_voice_in_feed,
    feed_returns_to_its_desk,
    feed_loop,
    audience_microphone_in_pa,
    never_on_programme,
    listener_hears_forbidden,
    listener_misses_source,
    heard_only_on_key,
    interrupt_without_way,
    station_hears_itself,
    microphone_in_own_loudspeaker,
    coupling_not_stated,
)
