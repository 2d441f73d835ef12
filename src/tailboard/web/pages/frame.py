"""The frame round every page, and the templates."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from tailboard.views.rig_map import show_words
from tailboard.web.pages.links import linked
from tailboard.web.pages.shown import Part, Shown

MENU = (
    ("ready", "/", "Ready?"),
    ("map", "/map", "Map"),
    ("lines", "/lines", "Lines"),
    ("feeds", "/feeds", "Feeds"),
    ("check", "/check", "Line check"),
    ("record", "/record", "Record"),
    ("book", "/book", "Book"),
)
_STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)


@cache
def templates() -> Environment:
    """Return the templates; every value that is put into one is escaped."""
    env = Environment(
        loader=PackageLoader("tailboard.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters["picture"] = picture
    return env


def rendered(shown: Shown, template: str, **values: Any) -> str:
    """Return one template with its values; `linked` turns the names in a sentence into links."""
    return templates().get_template(template).render(shown=shown, linked=lambda text: linked(shown, text), **values)


def document(shown: Shown, part: Part, *, may_edit: bool = False, may_tick: bool = False) -> str:
    """Return a whole page."""
    return (
        templates()
        .get_template("frame.html")
        .render(
            part=part,
            body=Markup(part.html),  # noqa: S704  made by our own templates, which escape what is put into them
            show=show_words(shown.model),
            shown=shown,
            menu=MENU,
            may_edit=may_edit,
            may_tick=may_tick,
        )
    )


def picture(svg: str) -> Markup:
    """Return a drawing to stand in a page: its style is that of the pages, which know day and night."""
    return Markup(_STYLE.sub("", svg))  # noqa: S704  the drawings escape every text of the user's
