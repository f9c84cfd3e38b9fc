"""The terminal: progress where somebody watches, silence where nobody does, every name taken literally."""

from __future__ import annotations

import io
import sys

from sim.command.screen import console, progress, tolerant_output


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_says_what_is_done_and_how_much_is_left(monkeypatch) -> None:
    screen = _Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("TERM", "xterm")
    with progress() as tell:
        assert tell is not None
        tell("compiling the solver", 0, 1)
        for done in range(1, 251):
            tell("power loss [bold], every instant", done, 250)
    shown = screen.getvalue()
    assert "power loss [bold], every instant" in shown
    assert "250/250" in shown
    assert "left:" in shown


def test_nobody_watching_means_no_progress(monkeypatch) -> None:
    screen = io.StringIO()
    monkeypatch.setattr(sys, "stderr", screen)
    with progress() as tell:
        assert tell is None
    assert screen.getvalue() == ""


def test_a_page_for_nobody_is_as_wide_as_a_page() -> None:
    stream = io.StringIO()
    console(stream).print("x" * 300)
    assert max(len(line) for line in stream.getvalue().splitlines()) == 120


def test_a_terminal_without_the_sign_shows_a_question_mark(monkeypatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    tolerant_output()
    print("m/s²")
    sys.stdout.flush()
    assert raw.getvalue() == b"m/s?\n"
