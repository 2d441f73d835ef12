"""The rules of the light family, in the order they are run."""

from tailboard.rules.light import light_too_strong, light_too_weak, light_unknown, mode_differs, reach_exceeded

MODULES = (mode_differs, reach_exceeded, light_too_weak, light_too_strong, light_unknown)
