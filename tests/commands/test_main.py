"""The command line's entrance: verbs, exit codes, troubles in sentences, never a traceback."""

import argparse
import errno
import importlib
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from observe import __version__
from observe.commands import main
from observe.domain.troubles import BadInput, Doubtful, Refused, Stopped, Surroundings

Handler = Callable[[argparse.Namespace], int]
Ended = subprocess.CompletedProcess[str]
Plant = Callable[[Handler], None]


@pytest.fixture
def plant(monkeypatch: pytest.MonkeyPatch) -> Plant:
    """Let the verb `doctor` do something else."""

    def replace(handler: Handler) -> None:
        monkeypatch.setattr("observe.commands.doctor.handle", handler)

    return replace


def failing_with(error: BaseException) -> Handler:
    def handle(_: argparse.Namespace) -> int:
        raise error

    return handle


def observe(*arguments: str, stdout: int = subprocess.PIPE, **variables: str) -> Ended:
    """The real program in a process of its own."""
    return subprocess.run(
        [sys.executable, "-P", "-m", "observe", *arguments],
        env={**os.environ, **variables},
        stdout=stdout,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )


def test_without_a_verb_the_desk_opens_on_the_persons_own_logbook() -> None:
    opened: list[Path | None] = []

    def desk(logbook: Path | None) -> int:
        opened.append(logbook)
        return 0

    assert main.run([], desk=desk) == 0
    assert main.run(["--logbook", "course.observe"], desk=desk) == 0
    assert opened == [None, Path("course.observe")]


def test_where_there_is_no_desk_it_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run([]) == 2
    assert "has no desk" in capsys.readouterr().err


def test_a_handlers_answer_is_the_exit_code(plant: Plant) -> None:
    plant(lambda _: 1)
    assert main.run(["doctor"]) == 1


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (BadInput("It is empty.", remedy="Choose another."), 2),
        (Refused("It is sealed.", remedy="Amend it."), 2),
        (Surroundings("The disk is full.", remedy="Free some space."), 2),
        (Doubtful("The chain is broken.", remedy="Keep the file."), 1),
        (Stopped(), 130),
        (KeyboardInterrupt(), 130),
    ],
)
def test_each_trouble_has_its_exit_code(plant: Plant, error: BaseException, code: int) -> None:
    plant(failing_with(error))
    assert main.run(["doctor"]) == code


def test_a_trouble_says_what_where_and_what_to_do(
    plant: Plant, capsys: pytest.CaptureFixture[str]
) -> None:
    plant(failing_with(BadInput("It is empty.", where="a.toml", remedy="Choose another.")))
    main.run(["doctor"])
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == "observe: It is empty.\n  where: a.toml\n  what to do: Choose another.\n"


def test_stopping_says_nothing(plant: Plant, capsys: pytest.CaptureFixture[str]) -> None:
    plant(failing_with(Stopped()))
    main.run(["doctor"])
    assert capsys.readouterr() == ("", "")


def test_the_machines_refusal_is_told_with_its_file(
    plant: Plant, capsys: pytest.CaptureFixture[str]
) -> None:
    plant(failing_with(OSError(errno.ENOSPC, "No space left on device", "sheet.pdf")))
    assert main.run(["doctor"]) == 2
    told = capsys.readouterr().err
    assert "refused to read or write: the disk is full." in told
    assert "where: sheet.pdf" in told


def test_a_defect_is_told_in_a_sentence_and_kept_without_what_it_spoke_of(
    plant: Plant, capsys: pytest.CaptureFixture[str], own_home: Path
) -> None:
    plant(failing_with(KeyError("Ada Lindqvist")))
    assert main.run(["doctor"]) == 70
    told = capsys.readouterr().err
    assert "defect of the program (KeyError)" in told
    assert "Traceback" not in told
    (report,) = (own_home / "defects").iterdir()
    assert str(report) in told
    assert "Lindqvist" not in report.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("given", "hint"), [("docter", "Did you mean “doctor”?"), ("zzz", "There are: demo, form,")]
)
def test_an_unknown_verb_gets_a_hint(
    given: str, hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main.run([given]) == 2
    told = capsys.readouterr().err
    assert f"There is no verb “{given}”." in told
    assert hint in told


def test_an_unknown_option_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run(["doctor", "--jsn"]) == 2
    told = capsys.readouterr().err
    assert "--jsn" in told
    assert "--help" in told


def test_the_version_is_a_result(capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run(["--version"]) == 0
    assert capsys.readouterr().out == f"observe {__version__}\n"


@pytest.mark.parametrize("verb", main.VERBS)
def test_every_verb_has_help_with_an_example(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run([verb, "--help"]) == 0
    told = capsys.readouterr().out
    assert re.search(rf"^example.*\n(.*\n)*  observe {verb}\b", told, re.MULTILINE)


def test_every_verb_has_a_file_and_every_file_a_verb() -> None:
    folder = Path(main.__file__).parent
    with_verb = {
        path.stem
        for path in folder.glob("*.py")
        if hasattr(importlib.import_module(f"observe.commands.{path.stem}"), "add")
    }
    assert with_verb == set(main.VERBS)


def test_a_reader_that_leaves_early_ends_the_program_quietly() -> None:
    reader, writer = os.pipe()
    os.close(reader)
    told = observe("form", stdout=writer)
    os.close(writer)
    assert told.returncode == 141
    assert told.stderr == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no always-full device")
def test_a_full_disk_under_the_answer_is_told() -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        told = observe("form", stdout=full.fileno())
    assert told.returncode == 2
    assert "the disk is full" in told.stderr
    assert "Exception" not in told.stderr


def test_a_terminal_of_a_narrow_encoding_is_served() -> None:
    told = observe("docter", PYTHONIOENCODING="ascii")
    assert told.returncode == 2
    assert "Did you mean ?doctor??" in told.stderr


def test_the_desks_logbook_is_not_taken_with_a_verb(capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run(["--logbook", "mine.observe", "doctor"]) == 2
    assert "--logbook is for the desk" in capsys.readouterr().err


def test_what_was_typed_cannot_pass_for_words_of_the_program(
    capsys: pytest.CaptureFixture[str],
) -> None:
    for arguments in (["x\x1b[31m\nobserve: all is well"], ["doctor", "--x\nobserve: all is well"]):
        assert main.run(arguments) == 2
        told = capsys.readouterr().err
        assert "\x1b" not in told
        assert not any(line == "observe: all is well" for line in told.splitlines())
    main.run(["v" * 5000])
    assert len(capsys.readouterr().err) < 300


def test_a_file_in_a_trouble_cannot_pass_for_words_of_the_program(
    plant: Plant, capsys: pytest.CaptureFixture[str]
) -> None:
    plant(failing_with(BadInput("It is empty.", where="a\nobserve: fine.\x1b[0m", remedy="Stop.")))
    main.run(["doctor"])
    assert len(capsys.readouterr().err.splitlines()) == 3
