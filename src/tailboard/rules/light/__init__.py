"""The rules of the light family, in the order they are run."""

from tailboard.rules.light import (
    light_too_strong,
    light_too_weak,
    light_unknown,
    reach_exceeded,
    received_light_differs,
)

MODULES = (reach_exceeded, light_too_weak, light_too_strong, received_light_differs, light_unknown)
