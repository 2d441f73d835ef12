"""The rules of the faults family, in the order they are run."""

from tailboard.rules.faults import (
    failure_not_survived,
    networks_share,
    reserve_shares_route,
    spare_cable_differs,
    spare_cable_shares_route,
)

MODULES = (spare_cable_shares_route, spare_cable_differs, reserve_shares_route, networks_share, failure_not_survived)
