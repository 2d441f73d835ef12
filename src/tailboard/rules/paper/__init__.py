"""The rules of the paper family, in the order they are run. The acceptances and the idle answers stand beside the proof."""

from tailboard.rules.paper import answer_contradicts_plan, answer_settles_nothing

MODULES = (answer_contradicts_plan, answer_settles_nothing)
