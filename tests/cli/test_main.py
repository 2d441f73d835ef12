"""The entry: every command answers or says in one sentence why it cannot; never a traceback."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import tailboard
from cli.shell import SMALL, Ran, command, environment, one_sentence, process, run, stream, text_of, write
from tailboard.cli import main as entry
from tailboard.cli.parser import COMMANDS, USAGE

ASKING = {
    "trace": ("line 1", "CON-1/1"),
    "hears": ("presenter",),
    "why": ("hole-used-twice:SB-1/1",),
    "origins": (),
    "sheet": ("SB-1",),
    "free": ("SB-1",),
    "names": ("SB-1",),
}
LONE = "line,source,place,label,hole,strip\n1,presenter,stage,PRES,SB-1/1,CON-1/1\n"


def silent(*arguments: str | Path, cwd: Path) -> Ran:
    """Run a command as a user has it: a bug of ours would be said in a sentence, which the tests then see."""
    ran = process(*arguments, cwd=cwd)
    assert "Traceback" not in ran.out + ran.err
    assert "fault of tailboard" not in ran.err
    return ran


def test_version_and_help() -> None:
    assert run("--version").out == f"tailboard {tailboard.__version__}\n"
    shown = run("--help").out
    assert all(name in shown for name in COMMANDS)
    assert "Exit codes: 0 no error, 1 an error found, 2 cannot run, 130 interrupted." in shown


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_its_help(name: str) -> None:
    ran = run(name, "--help")
    assert ran.code == 0
    assert ran.out.startswith(f"usage: {USAGE[name].split(' [')[0]}")


def test_without_a_command_it_says_what_to_do() -> None:
    assert "tailboard --help" in one_sentence(run())


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("chek", "x"), "did you mean 'check'?"),
        (("frobnicate",), "the commands are new, check"),
        (("check", "--frob"), "check has no option --frob"),
        (("check", "--width", "many"), "invalid int value"),
        (("check", "--width", "5"), "too narrow"),
        (("check", "--json", "--sarif", str(SMALL)), "choose one of"),
        (("check", "/no/such/folder"), "there is no folder '/no/such/folder'"),
        (("check", str(SMALL / "show.yaml")), "is a file, not the folder of a show"),
        (("check", str(SMALL), "more"), "'more' is one name too many"),
        (("check", "a\0b\x1b[2J"), "there is no folder 'a?b?[2J'"),
        (("trace", str(SMALL)), "say where"),
        (("sheet", str(SMALL)), "say which box"),
        (("sheet", "nowhere", "SB-1"), "there is no folder 'nowhere'"),
        (("sheet", str(SMALL), "SB-9"), "no box, device or place 'SB-9'"),
        (("sheet", str(SMALL), "SB 1x"), "did you mean 'SB-1'?"),
        (("free", str(SMALL), "wng"), "did you mean 'wing'?"),
        (("names", str(SMALL), "CON1"), "did you mean 'CON-1'?"),
        (("why", str(SMALL), "hole-used-twise"), "did you mean 'hole-used-twice"),
        (("why", str(SMALL), "hole-used"), "begins"),
        (("explain", "hole-used-twise"), "did you mean 'hole-used-twice'?"),
        (("origins", str(SMALL), "CON-11"), "nothing in this show is called"),
        (("demo", "x"), "demo takes no names"),
        (("completion", "fish"), "say which shell: bash or zsh"),
        (("new",), "say which folder to make"),
    ],
)
def test_what_cannot_run_is_said_in_one_sentence(arguments: tuple[str, ...], words: str) -> None:
    assert words in one_sentence(run(*arguments))


def test_options_may_stand_anywhere() -> None:
    assert run("sheet", SMALL, "--plain", "SB-1").out == run("sheet", "--plain", SMALL, "SB-1").out


@pytest.mark.parametrize("name", sorted(ASKING))
def test_inside_a_show_the_folder_may_be_left_out(name: str) -> None:
    assert run(name, *ASKING[name], cwd=SMALL).out == run(name, SMALL, *ASKING[name]).out


@pytest.mark.parametrize("name", sorted(ASKING))
def test_a_question_about_no_show_is_refused(name: str, tmp_path: Path) -> None:
    assert "holds no show" in one_sentence(run(name, tmp_path, *ASKING[name]))


@pytest.mark.parametrize("name", [name for name in COMMANDS if name not in {"new", "demo", "completion", "serve"}])
@pytest.mark.parametrize("kind", ["small", "lone", "broken", "odd"])
def test_no_command_fails_on_any_folder(name: str, kind: str, tmp_path: Path) -> None:
    folder = {"small": lambda: SMALL, "lone": lambda: write(tmp_path, {"lines.csv": LONE})}.get(
        kind, lambda: tmp_path
    )()
    if kind == "broken":
        write(tmp_path, {"show.yaml": "format: 1\ndevices: [\n", "lines.csv": LONE, "feeds.csv": "feed,mix\nFD1,\n"})
    if kind == "odd":
        write(tmp_path, {"lines.csv": LONE.replace("SB-1/1", "SB-1"), "feeds.csv": "feed,mix,output\nF,B,X\n"})
        write(tmp_path, {"show.yaml": "devices: {SB-1: {kind: nothing}}\ncables: {C: {kind: mic, from: SB-1}}\n"})
    arguments: list[str | Path] = [name, *([] if name == "explain" else [folder]), *ASKING.get(name, ())]
    for options in ((), ("--json",)):
        ran = run(*arguments, *options)
        assert ran.code in {0, 1, 2}
        if ran.code == 2:
            one_sentence(ran)


def test_a_bug_of_ours_is_said_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def burst(_: list[str]) -> int:
        raise ZeroDivisionError

    monkeypatch.setattr("tailboard.cli.run.run", burst)
    err = stream("utf-8")
    monkeypatch.setattr(sys, "stderr", err)
    monkeypatch.delenv("TAILBOARD_DEBUG", raising=False)
    assert entry.main(["check"]) == 2
    assert text_of(err) == (
        "tailboard: this is a fault of tailboard (ZeroDivisionError); please report it: TAILBOARD_DEBUG=1 shows where\n"
    )
    monkeypatch.setenv("TAILBOARD_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        entry.main(["check"])


def test_an_interrupt_ends_with_130(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_: list[str]) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("tailboard.cli.run.run", interrupted)
    assert run("check").code == 130


@pytest.mark.skipif(os.name != "posix", reason="an interrupt is sent as a POSIX signal")
def test_ctrl_c_ends_a_watch_without_a_traceback() -> None:
    watching = subprocess.Popen(
        command("check", SMALL, "--watch"),
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )
    assert watching.stdout is not None
    for line in watching.stdout:
        if "Ctrl-C" in line:
            break
    time.sleep(0.1)
    watching.send_signal(signal.SIGINT)
    _, err = watching.communicate(timeout=20)
    assert (watching.returncode, err) == (130, "tailboard: interrupted\n")


def test_a_pipe_that_is_closed_early_is_no_fault() -> None:
    reading = subprocess.Popen(
        command("explain"),
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )
    assert reading.stdout is not None
    assert reading.stderr is not None
    reading.stdout.close()
    err = reading.stderr.read()
    assert reading.wait(timeout=20) == 2
    assert err == "tailboard: the answer could not be written: Broken pipe\n"
    reading.stderr.close()


def test_an_output_that_was_closed_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    err = stream("utf-8")
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", err)
    assert entry.main(["check", str(SMALL)]) == 2
    assert "closed before the command began" in text_of(err)
    monkeypatch.setattr(sys, "stderr", None)
    assert entry.main(["check", str(SMALL)]) == 2


def test_a_full_disk_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    out, err = stream("utf-8"), stream("utf-8")

    def full(_: str) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(out, "write", full)
    monkeypatch.setattr(sys, "stdout", out)
    monkeypatch.setattr(sys, "stderr", err)
    assert entry.main(["explain"]) == 2
    assert "could not be written: No space left on device" in text_of(err)


def test_a_folder_that_may_not_be_opened_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tailboard.cli.shows.os.access", lambda *_: False)
    assert "its rights do not allow it" in one_sentence(run("check", tmp_path))


def test_a_read_only_folder_is_checked(tmp_path: Path) -> None:
    folder = write(tmp_path / "show", {"lines.csv": LONE})
    folder.chmod(0o555)
    try:
        assert silent("check", folder, cwd=tmp_path).code == 0
    finally:
        folder.chmod(0o755)


def test_a_table_of_another_name_is_refused_with_the_way_out(tmp_path: Path) -> None:
    write(tmp_path, {"list.csv": LONE})
    assert "new FOLDER --from list.csv" in one_sentence(run("check", tmp_path / "list.csv"))


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_completion_names_every_command(shell: str) -> None:
    script = run("completion", shell).out
    assert all(name in script for name in COMMANDS)


@pytest.mark.skipif(os.name != "posix", reason="there is no bash to parse it")
def test_the_completion_for_bash_parses(tmp_path: Path) -> None:
    write(tmp_path, {"complete.bash": run("completion", "bash").out})
    subprocess.run(["bash", "-n", str(tmp_path / "complete.bash")], check=True, timeout=20)
