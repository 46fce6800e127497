"""A Whisper model of random weights, a few megabytes small: it hears nonsense, but it hears.

Its vocabulary has the places of OpenAI's multilingual models (51865 entries), which faster-whisper
takes the special tokens from by name.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import numpy as np
import pytest

_WIDTH: Final = 64
_MELS: Final = 80
_WORDS: Final = 50_257
_ENTRIES: Final = 51_865


def tiny_whisper(folder: Path) -> Path:
    """Write the model; the test is skipped where the extra ``speech`` isn't installed."""
    reason = "the extra 'speech' is not installed"
    pytest.importorskip("faster_whisper", reason=reason)
    specs = pytest.importorskip("ctranslate2.specs", reason=reason)
    vocabulary = _vocabulary()
    spec = specs.WhisperSpec(1, 2, 1, 2)
    _fill(spec)
    spec.register_vocabulary(vocabulary)
    spec.config.suppress_ids, spec.config.suppress_ids_begin = [], []
    spec.config.lang_ids, spec.config.alignment_heads = [_WORDS + 2], [[0, 0]]
    spec.validate()
    spec.optimize(None)
    folder.mkdir(parents=True)
    spec.save(str(folder))
    _write_tokenizer(folder / "tokenizer.json", vocabulary)
    return folder


def _vocabulary() -> list[str]:
    told = ["<|endoftext|>", "<|startoftranscript|>", "<|en|>"]
    told += [f"<|l{number}|>" for number in range(98)]
    told += ["<|translate|>", "<|transcribe|>", "<|startoflm|>", "<|startofprev|>"]
    told += ["<|nospeech|>", "<|notimestamps|>"]
    told += [f"<|{step * 0.02:.2f}|>" for step in range(1501)]
    return [f"w{number} " for number in range(_WORDS)] + told[: _ENTRIES - _WORDS]


def _write_tokenizer(path: Path, vocabulary: list[str]) -> None:
    import tokenizers

    places = {entry: number for number, entry in enumerate(vocabulary)}
    made = tokenizers.Tokenizer(tokenizers.models.WordLevel(places, unk_token=vocabulary[0]))
    special = [tokenizers.AddedToken(entry, special=True) for entry in vocabulary[_WORDS:]]
    made.add_special_tokens(special)
    made.save(str(path))


def _fill(spec: Any) -> None:
    dice = np.random.default_rng(0)

    def some(*shape: int) -> np.ndarray:
        return dice.normal(0, 0.02, shape).astype(np.float32)

    def none(length: int = _WIDTH) -> np.ndarray:
        return np.zeros(length, np.float32)

    def linear(part: Any, outputs: int, inputs: int) -> None:
        part.weight, part.bias = some(outputs, inputs), none(outputs)

    def norm(part: Any) -> None:
        part.gamma, part.beta = np.ones(_WIDTH, np.float32), none()

    def attention(part: Any, *widths: int) -> None:
        norm(part.layer_norm)
        for one, width in zip(part.linear, widths, strict=True):
            linear(one, width, _WIDTH)

    def forward(part: Any) -> None:
        norm(part.layer_norm)
        linear(part.linear_0, 4 * _WIDTH, _WIDTH)
        linear(part.linear_1, _WIDTH, 4 * _WIDTH)

    encoder, decoder = spec.encoder, spec.decoder
    encoder.conv1.weight, encoder.conv1.bias = some(_WIDTH, _MELS, 3), none()
    encoder.conv2.weight, encoder.conv2.bias = some(_WIDTH, _WIDTH, 3), none()
    encoder.position_encodings.encodings = some(1500, _WIDTH)
    decoder.position_encodings.encodings = some(448, _WIDTH)
    decoder.embeddings.weight = some(_ENTRIES, _WIDTH)
    decoder.projection.weight = decoder.embeddings.weight
    for layer in (*encoder.layer, *decoder.layer):
        attention(layer.self_attention, 3 * _WIDTH, _WIDTH)
        forward(layer.ffn)
    for layer in decoder.layer:
        attention(layer.attention, _WIDTH, 2 * _WIDTH, _WIDTH)
    norm(encoder.layer_norm)
    norm(decoder.layer_norm)
