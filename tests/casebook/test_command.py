"""The casebook from the command line: a coach's day, facts as JSON, one sentence for what fails."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support.casebooks import MONDAY, say_something

from cliptag import cli
from cliptag.casebook import Casebook

VERBS = (
    *("day", "list", "add", "client", "plan", "find", "consent", "review", "sent"),
    *("export-data", "erase", "check", "repair"),
)


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    """Run ``cliptag casebook`` on a book of its own; gives the exit code and what was printed."""
    monkeypatch.setenv("CLIPTAG_CASEBOOK", str(tmp_path / "casebook"))
    monkeypatch.setenv("COLUMNS", "120")

    def run(*words: object) -> tuple[int, str, str]:
        code = cli.main(["casebook", *map(str, words)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


def facts(told: tuple[int, str, str]) -> dict:
    assert told[0] == 0, told
    return json.loads(told[1])


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_helps_with_an_example(verb: str, capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit) as stop:
        cli.main(["casebook", verb, "--help"])
    assert stop.value.code == 0
    assert f"Example: cliptag casebook {verb}" in capsys.readouterr().out


def test_a_coachs_day(run, new_clip, tmp_path: Path):
    code, _, err = run("day")
    assert code == 1 and "There is no casebook at" in err and err.count("\n") == 1
    assert facts(run("client", "Ines", "--contact", "ines@example.org", "--json"))["record"]
    code, out, _ = run("plan", "ines", "--start", MONDAY, "--topics", "sitting:3,standing,lifting")
    assert code == 0 and "2026-03-29" in out and "standing" in out
    clips = [new_clip("a.mp4"), new_clip("b.mp4"), new_clip("a.mp4")]
    code, out, _ = run("add", "Ines", *clips, "--week", "4", "--received", "2026-03-24")
    assert code == 0 and out.splitlines()[0] == "a.mp4 is clip 1 of Ines (week-04/a.mp4)."
    assert "is there already" in out.splitlines()[2]
    day = facts(run("day", "--on", "2026-03-30", "--json"))["day"]
    assert [clip["id"] for clip in day["to_review"]] == [1, 2]
    assert day["without_consent"] == [1, 2] and len(day["late"]) == 2
    code, out, _ = run("day", "--on", "2026-03-30")
    assert "To review" in out and "no consent" in out and "Not come" in out
    assert "Ines has not sent week 3 (sitting)." in run("day", "--on", "2026-03-30", "--week", 3)[1]

    message = tmp_path / "agreed.eml"
    message.write_text("I agree.")
    told = ("--how", "e-mail", "--message", message, "--on", "2026-03-20")
    code, out, _ = run("consent", "Ines", "--for", "private_feedback", *told)
    assert code == 0 and "agreed" in out and "given.eml" in out
    with Casebook.open(tmp_path / "casebook") as book:
        say_something(book, 1)
    assert [clip["state"] for clip in facts(run("list", "Ines", "--json"))["clips"]] == [
        "in_work",
        "new",
    ]
    code, out, _ = run("review", 1, "--done", "--due", "2026-04-01")
    assert code == 0 and "2026-04-01" in out and out.endswith("a.review.json\n")
    code, _, err = run("sent", 1)
    assert code == 1 and "Nothing was exported of clip 1 yet" in err
    assert "Ines" in run("find", "example.org")[1]
    assert "Nothing was found." in run("find", "nobody")[1]
    assert run("check")[:2] == (0, "All is whole.\n")
    assert run("repair")[:2] == (0, "There was nothing to mend.\n")
    code, out, _ = run("export-data", "Ines", "--out", tmp_path / "ines.zip")
    assert code == 0 and (tmp_path / "ines.zip").exists()
    code, _, err = run("erase", "Ines")
    assert code == 1 and "2 clips" in err and "--yes" in err
    code, out, _ = run("erase", "Ines", "--yes")
    assert code == 0 and "What remains is the number" in out and str(clips[0]) in out
    assert facts(run("list", "--json"))["clients"] == []


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("add", "Inez", "a.mp4"), "did you mean Ines?"),
        (("add", "Ines", "nothing.mp4"), "no file"),
        (("client", "Otto", "--rename", "Bo"), "no client called Otto"),
        (("client", "Otto", "--language", "german"), "no language"),
        (("plan", "Ines", "--topics", "sitting"), "say when it begins"),
        (("consent", "Ines", "--for", "public"), "Say how the client said it"),
        (("consent", "Ines", "--how", "e-mail"), "Say what for"),
        (("review", 99), "no clip 99"),
        (("export-data", "Ines", "--out", "."), "exists already"),
        (("--book", "nowhere", "list"), "no casebook at"),
        (("list", "--book", "nowhere"), "no casebook at"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_sentence(run, words, sentence):
    run("client", "Ines")
    code, _, err = run(*words)
    assert code == 1 and sentence in err
    assert err.startswith("cliptag: ") and err.count("\n") == 1


@pytest.mark.parametrize(
    "words",
    [
        ("add", "Ines"),
        ("dance",),
        ("day", "--on", "tomorrow"),
        ("plan", "Ines", "--topics", "sitting:x"),
        ("consent", "Ines", "--for", "fame", "--how", "e-mail"),
        ("review", "one"),
    ],
)
def test_wrong_use_exits_with_2_and_one_line(run, words, capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit) as stop:
        run(*words)
    assert stop.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


@pytest.mark.parametrize(
    "words",
    [
        ("export",),
        ("export", "a.review.json"),
        ("export", "--out", "x"),
        ("export", "a.review.json", "--out", "x", "--all-due"),
        ("export", "--all-due", "--workers", "none"),
    ],
)
def test_an_export_is_of_one_review_or_of_all_due(words, capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit) as stop:
        cli.main(list(words))
    assert stop.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_client_whose_name_only_differs_in_case_is_changed_and_not_added(run):
    run("client", "Ines")
    assert facts(run("client", "INES", "--notes", "x", "--json"))["record"]["client"] == {
        **facts(run("client", "ines", "--json"))["record"]["client"]
    }
    assert len(facts(run("list", "--json"))["clients"]) == 1


def test_names_with_signs_of_markup_are_printed_as_they_are(run):
    run("client", "A [bold]B[/bold]")
    assert "A [bold]B[/bold]" in run("list")[1]
