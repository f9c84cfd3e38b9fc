"""Films of a case: what each picture shows is where the trace has everybody, and time goes as it went."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plots import write_film
from plots.film import ENCODER, NoEncoder
from tests.plots.moving_results import moving_result

PLANNED = "planned move"


@pytest.fixture(scope="module")
def gif(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("film") / "planned move.gif"
    write_film(moving_result(), PLANNED, path)
    return path


def grey(film: Image.Image, frame: int) -> np.ndarray:
    film.seek(frame)
    return np.asarray(film.convert("L")).astype(int)


def test_a_gif_takes_as_long_as_the_case_and_holds_its_end(gif: Path) -> None:
    with Image.open(gif) as film:
        shown_ms = []
        for frame in range(film.n_frames):  # pyright: ignore[reportAttributeAccessIssue]
            film.seek(frame)
            shown_ms.append(film.info["duration"])
    case_ms = 1000 * moving_result().traces[PLANNED].time_s[-1]
    # Pictures that are the same as the one before are shown as one, longer.
    assert sum(shown_ms) - 1500 == pytest.approx(case_ms, abs=10)
    assert gif.stat().st_size < 3_000_000


def test_the_performer_goes_down_the_picture_as_in_the_trace(gif: Path) -> None:
    """The body is the only thing filled in its grey, so its middle tells where it is; the scale from both."""
    trace = moving_result().traces[PLANNED]
    height_m = trace.columns["height_m:lamplighter"]
    with Image.open(gif) as film:
        at = np.cumsum([0.0] + [_duration_s(film, k) for k in range(film.n_frames - 1)])  # pyright: ignore[reportAttributeAccessIssue]
        frames = [0, *(int(abs(at - t).argmin()) for t in (1.5, 1.8, 2.1, 2.3))]
        rows = np.array([_middle_of_body(grey(film, k)) for k in frames])
    heights_m = np.interp(at[frames], trace.time_s, height_m)
    slope, origin = np.polyfit(heights_m, rows, 1)
    assert slope < 0  # up is up
    assert np.ptp(rows) > 100
    assert np.abs(rows - (slope * heights_m + origin)).max() < 3.0


def _duration_s(film: Image.Image, frame: int) -> float:
    film.seek(frame)
    return film.info["duration"] / 1000


def _middle_of_body(picture: np.ndarray) -> float:
    """Row of the middle of the widest grey patch: the grid is as grey but thin."""
    is_body = np.abs(picture - 230) <= 4
    solid = is_body[:-4] & is_body[4:] & is_body[2:-2]
    wide = solid[:, :-3] & solid[:, 3:]
    return float(np.nonzero(wide)[0].mean())


def test_an_mp4_where_the_encoder_is(tmp_path: Path) -> None:
    prober = shutil.which("ffprobe")
    if shutil.which(ENCODER) is None or prober is None:
        pytest.skip(f"no {ENCODER} on the PATH")
    path = tmp_path / "planned move.mp4"
    write_film(moving_result(), PLANNED, path)
    asked = [prober, "-v", "error", "-show_streams", "-show_format", "-of", "json", str(path)]
    told = json.loads(subprocess.run(asked, capture_output=True, check=True, text=True).stdout)
    (stream,) = told["streams"]
    assert stream["codec_type"] == "video"
    assert float(stream["duration"]) == pytest.approx(moving_result().traces[PLANNED].time_s[-1], abs=0.1)
    assert told["format"]["tags"]["comment"] == "stopload"


def test_without_the_encoder_it_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(NoEncoder, match=f"There is no {ENCODER} on this machine"):
        write_film(moving_result(), PLANNED, tmp_path / "a.mp4")
    assert list(tmp_path.iterdir()) == []


def test_an_encoder_that_refuses_is_quoted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    broken = tmp_path / ENCODER
    broken.write_text("#!/bin/sh\necho no such codec here >&2\nexit 1\n")
    broken.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    with pytest.raises(NoEncoder, match=r"would not write a\.mp4: no such codec here"):
        write_film(moving_result(), PLANNED, tmp_path / "a.mp4")


def test_other_kinds_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="gif or mp4"):
        write_film(moving_result(), PLANNED, tmp_path / "a.avi")
