"""The rules of the delay family, in the order they are run."""

MODULES = ()
