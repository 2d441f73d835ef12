"""The rules of the chain family, in the order they are run."""

MODULES = ()
