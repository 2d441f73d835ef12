"""The rules of the network family, in the order they are run."""

from tailboard.rules.network import address_shared

MODULES = (address_shared,)
