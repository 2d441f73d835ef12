"""Cautions, said where the work is done. The tool never says that something is safe.

Wording after the trade's rules of work (common practice, no source); looking into a fibre: IEC 60825-2, from memory.
"""

from __future__ import annotations

PHANTOM = "Before 48 V is switched: mute the strip, and what hears it."
TONE = "Before tone, ident or probe: earpieces off the ear, PA down, start low, warn the floor."
LASER = "Never look into a fibre or a connector. Caps stay on whatever is not plugged."
EARTH = (
    "Copper joins two earths here. Any voltage between them that is not near zero: do not join, ask the electrician."
    " Measuring is for a qualified person; local codes decide."
)
ROUTE = "Cable routes: nothing to trip over, doors and ways out stay free; lift drums with two."
