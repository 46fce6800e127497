"""The library of the extra ``speech`` is asked rightly, and never reaches for the network."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest
from support.spoken import speech, take_of
from support.tiny_whisper import tiny_whisper

from cliptag.errors import VoiceError
from cliptag.voice import draft_text, open_recogniser, take_length_us


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("something asked for the network")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


def test_a_model_hears_words_in_a_take_without_a_network(tmp_path: Path, no_network: None):
    model = tiny_whisper(tmp_path / "model")
    take = take_of(speech(), tmp_path / "ines.review.json")
    words = draft_text(open_recogniser(model, "en"), take, 0, take_length_us(take)).split()
    assert words and all(word[0] == "w" and word[1:].isdigit() for word in words)


def test_a_damaged_model_is_a_sentence(tmp_path: Path, no_network: None):
    model = tiny_whisper(tmp_path / "model")
    whole = (model / "model.bin").read_bytes()
    (model / "model.bin").write_bytes(b"\xff" * 100 + whole[100:1000])
    with pytest.raises(VoiceError, match=r"can't be used.*choose another one, or type"):
        open_recogniser(model)


@pytest.mark.parametrize("name", ["model.bin", "tokenizer.json", "config.json"])
def test_a_model_without_one_of_its_files_is_never_completed_from_elsewhere(
    tmp_path: Path, no_network: None, name: str
):
    model = tiny_whisper(tmp_path / "model")
    (model / name).unlink()
    with pytest.raises(VoiceError, match=f"{name} is missing"):
        open_recogniser(model)
