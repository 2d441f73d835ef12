"""The rules of the faults family, in the order they are run."""

MODULES = ()
