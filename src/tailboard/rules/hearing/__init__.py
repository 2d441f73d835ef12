"""The rules of one family, in the order they are run."""

MODULES = ()
