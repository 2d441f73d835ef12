"""`serve`: the crew's pages, on this machine alone or on one network that is named."""

from __future__ import annotations

import argparse
import gc
from importlib import import_module

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import chosen, read_show
from tailboard.web.addresses import LOOPBACK, PORT, bind_fault, interfaces


def run(options: argparse.Namespace, out: Output) -> int:
    """Serve a show until interrupted."""
    show = chosen(options.names, 0, 0, "the folder of a show")
    read_show(show)
    bind = bind_address(options.bind)
    if options.port is not None and not 0 <= options.port < 65536:
        raise CannotRun(f"--port {options.port} is no port; ports go from 1 to 65535")
    running = import_module("tailboard.web.running")  # brings the server with it
    gc.enable()  # this command stays
    folder = show.path if show.path.is_dir() else show.path.parent
    try:
        opened = running.open_show(folder.resolve(), show.files, bind, options.port, PORT)
    except running.CannotServeError as problem:
        raise CannotRun(str(problem)) from None
    if options.json:
        told = {"address": opened.address, "join": opened.join, "code": opened.code, "warning": opened.served.warning}
        running.run(opened, lambda: out.document(told))
    else:
        running.run(opened, lambda: out.text(words(opened, bind, out)))
    return 0


def bind_address(asked: str | None) -> str:
    """Return the address to serve at: this machine alone unless one is named. Raises CannotRun."""
    if asked is None:
        return LOOPBACK
    fault = bind_fault(asked) if asked else "say at which address the truck's network reaches this machine"
    if fault:
        own = [f"{one.address} ({', '.join(part for part in (one.name, one.network) if part)})" for one in interfaces()]
        listed = f"; it has {', '.join(own)}" if own else "; it has none besides its own loopback"
        raise CannotRun(f"{fault}{listed}: --bind ADDRESS")
    return asked


def words(opened: object, bind: str, out: Output) -> str:
    """Return what the terminal shows: the address, the code to scan, the code for editing."""
    address, join, code = (str(getattr(opened, name)) for name in ("address", "join", "code"))
    warning = str(getattr(getattr(opened, "served", None), "warning", ""))
    qr = import_module("tailboard.term.qr")  # only a terminal needs it
    shared = (
        "Only this machine reaches it; --bind shares it on one network."
        if bind == LOOPBACK
        else f"Shared on the network of {bind} and on no other."
    )
    parts = [
        f"The crew's pages are at {address}", shared, "", "To tick, scan this once (it is valid for the show; whoever has it can tick):",
        "", qr.terminal_code(join, out.style.plain), join, "", f"To edit, type this code in the page: {code}", "",
    ]  # fmt: skip
    parts += [f"! {warning}", ""] if warning else []
    return "\n".join([*parts, "Ctrl-C ends it; what was ticked is kept in log/.", ""])
