"""The rules of the clock family, in the order they are run."""

from tailboard.rules.clock import (
    clock_changes_when_plugged,
    clock_domain_differs,
    clock_leader_missing,
    clock_leader_unplanned,
    clock_leaders_two,
    clock_never_follows,
    clock_priority_shared,
    clock_rate_differs,
    clock_second_missing,
    clock_second_unplanned,
    clock_settings_missing,
    clock_way_uncorrected,
)

MODULES = (
    clock_leaders_two,
    clock_leader_missing,
    clock_leader_unplanned,
    clock_second_missing,
    clock_second_unplanned,
    clock_priority_shared,
    clock_domain_differs,
    clock_rate_differs,
    clock_settings_missing,
    clock_never_follows,
    clock_changes_when_plugged,
    clock_way_uncorrected,
)
