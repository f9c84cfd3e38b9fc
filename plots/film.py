"""A case as a film of the rig drawing: GIF, or MP4 where the encoder is on the machine."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from plots import page, style
from plots.events import warnings_of
from plots.frames import Frames, frames
from plots.moving import Follower, MovingViews, all_places, draw_moving, followers, reached, starting
from plots.views import views_of
from sim.results.model import Result
from sim.results.shown import Units, unit_shown

if TYPE_CHECKING:
    from matplotlib.artist import Artist

ENCODER = "ffmpeg"
_RATE_HZ = 25.0
"""A GIF counts in hundredths of a second, so 25 pictures a second are shown as fast as they happen."""
_DOTS_PER_IN = 90
_ROOM_IN, _VIEWS_HIGH_IN, _LEFT_IN, _CLOCK_IN = 6.2, 5.6, 0.85, 0.25
_COLOURS = 64
_HOLD_MS = 1500
_DOTTED = (0.0, (0.8, 3.0))

Picture = NDArray[np.uint8]
"""(height, width, 3)"""


class NoEncoder(Exception):
    """The machine has no encoder for this kind of film; the message is a plain sentence."""


def write_film(result: Result, case_name: str, path: Path, units: Units | str = Units.SI) -> None:
    """Write a case as a film, as the path's ending says: gif or mp4. Cautions and source stand in every picture.

    Raises:
        KeyError: where the result has no such case or no trace of it.
        ValueError: for unknown units, another ending, or a trace that does not say where everybody is.
        NoEncoder: for mp4, where the encoder is missing or refuses.
        OSError: when the file cannot be written.
    """
    kind = path.suffix.removeprefix(".").lower()
    if kind not in ("gif", "mp4"):
        raise ValueError(f"films are written as gif or mp4, not {kind!r}")
    if kind == "mp4" and shutil.which(ENCODER) is None:
        raise NoEncoder(f"There is no {ENCODER} on this machine, so no MP4 can be written; html and gif can")
    of = frames(result, case_name, _RATE_HZ, named=False)
    pictures = _pictures(result, case_name, of, Units(units))
    if kind == "gif":
        _write_gif(pictures, of, path)
    else:
        _write_mp4(pictures, of, path)


# --- the pictures ---------------------------------------------------------------------------------------------------


def _pictures(result: Result, case_name: str, of: Frames, units: Units) -> Iterator[Picture]:
    """One picture a frame. What stands still is drawn once, and only what moves is drawn anew."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    case, drawing = result.cases[case_name], starting(result, case_name, of)
    views = views_of(drawing, _ROOM_IN, _VIEWS_HIGH_IN, also=reached(of))
    remarks = ("Dotted line is slack or parted. Dashed: the way of the suspension point in this case.",)
    words = page.Words(
        result.title, f"{case.name} ({case.kind})", tuple(warnings_of(case)), remarks, page.source_line(result.stamp)
    )
    with page.styled():
        middle_in = _CLOCK_IN + sum(0.3 + view.height_in + 0.62 for view in views)
        sheet = page.sheet(words, _LEFT_IN + _ROOM_IN + page.MARGIN_IN, middle_in)
        made = draw_moving(sheet, drawing, views, of, (_LEFT_IN, sheet.top_in - _CLOCK_IN, _ROOM_IN), units)
        figure = sheet.figure
        figure.set_dpi(_DOTS_PER_IN)
        clock = figure.text(
            _LEFT_IN / sheet.width_in,
            (sheet.top_in - 0.2) / sheet.height_in,
            "",
            fontsize=style.TEXT_PT + 2,
            weight="bold",
        )
        with page.readable(figure):
            moved = _movers(made, units)
            symbols = {a for view in made.views for drawn in view.points.values() for a in drawn}  # over the lines
            moving = {a for _, drawn in moved for a in drawn} | symbols | {clock}
            artists = sorted(moving, key=lambda a: a.get_zorder())
            for artist in artists:
                artist.set_animated(True)
            canvas = FigureCanvasAgg(figure)
            canvas.draw()
            still = canvas.copy_from_bbox(figure.bbox)
            for frame, time_s in enumerate(of.time_s):
                canvas.restore_region(still)
                clock.set_text(f"{time_s:.2f} s")
                for move, _ in moved:
                    move(frame)
                for artist in artists:
                    figure.draw_artist(artist)
                yield np.asarray(canvas.buffer_rgba())[..., :3].copy()


def _movers(made: MovingViews, units: Units) -> list[tuple[Callable[[int], None], list[Artist]]]:
    """For each thing that moves what puts it where it is at a frame, and all that has to be drawn for it."""
    return [_mover(made, each, unit_shown("m", units).number(1.0)) for each in followers(made)]


def _mover(made: MovingViews, each: Follower, factor: float) -> tuple[Callable[[int], None], list[Artist]]:
    view, axes = made.views[each.view].view, made.views[each.view].axes
    places = all_places(made)

    def spot(name: str, frame: int) -> NDArray[np.float64]:
        place = places[name] if places[name].ndim == 1 else places[name][frame]
        return factor * np.array(view.spot(tuple(place)))

    if each.does == "line":
        return _line_mover(made, each, spot)
    if each.does == "body":
        return _body_mover(each, axes, spot), list(each.drawn)

    def at(frame: int) -> NDArray[np.float64]:
        a, b = spot(each.of[0], frame), spot(each.of[-1], frame)
        return a + each.part * (b - a)

    start = at(0)
    own = [artist.get_transform() for artist in each.drawn]

    def move(frame: int) -> None:
        from matplotlib.transforms import Affine2D

        by = axes.transData.transform(at(frame)) - axes.transData.transform(start)
        for artist, transform in zip(each.drawn, own, strict=True):
            artist.set_transform(transform + Affine2D().translate(*by))

    return move, list(each.drawn)


def _body_mover(each: Follower, axes: Any, spot: Callable[[str, int], NDArray[np.float64]]) -> Callable[[int], None]:
    """From the suspension point to the lowest part, as these are: leaning, longer and shorter."""
    from matplotlib.transforms import Affine2D

    top, foot = spot(each.of[0], 0), spot(each.of[1], 0)
    high = float(foot[1] - top[1]) or 1.0

    def move(frame: int) -> None:
        up, down = spot(each.of[0], frame), spot(each.of[1], frame)
        lean, stretch = (down[0] - up[0]) / high, (down[1] - up[1]) / high
        matrix = [
            [1.0, lean, up[0] - top[0] - lean * top[1]],
            [0.0, stretch, up[1] - stretch * top[1]],
            [0.0, 0.0, 1.0],
        ]
        for artist in each.drawn:
            artist.set_transform(Affine2D(np.array(matrix)) + axes.transData)

    return move


def _line_mover(
    made: MovingViews, each: Follower, spot: Callable[[str, int], NDArray[np.float64]]
) -> tuple[Callable[[int], None], list[Artist]]:
    """Spans that bear are drawn as they were, slack and parted ones dotted."""
    bears = made.views[each.view].lines[each.line]
    (hangs,) = made.views[each.view].axes.plot(
        [], [], color=bears.get_color(), linestyle=_DOTTED, linewidth=1.0, zorder=bears.get_zorder()
    )
    bears.set_marker("None")
    taut, gap = made.frames.taut[each.line], np.full((1, 2), np.nan)

    def move(frame: int) -> None:
        spots = np.array([spot(name, frame) for name in each.of])
        pieces = {True: [gap], False: [gap]}
        for k, bearing in enumerate(taut[frame]):
            pieces[bool(bearing)] += [spots[k : k + 2], gap]
        for line, which in ((bears, True), (hangs, False)):
            line.set_data(*np.concatenate(pieces[which]).T)

    return move, [bears, hangs]


# --- the files ------------------------------------------------------------------------------------------------------


def _write_gif(pictures: Iterator[Picture], of: Frames, path: Path) -> None:
    from PIL import Image

    made = []
    for picture in pictures:
        image = Image.fromarray(picture)
        made.append(image.quantize(_COLOURS, palette=made[0]) if made else image.quantize(_COLOURS))
    hundredths = np.round(100 * of.time_s).astype(int)
    shown_ms = [*(10 * np.diff(hundredths)).tolist(), _HOLD_MS]
    made[0].save(
        path, save_all=True, append_images=made[1:], duration=shown_ms, loop=0, disposal=1, comment=b"stopload"
    )  # fmt: skip


def _write_mp4(pictures: Iterator[Picture], of: Frames, path: Path) -> None:
    """Through the encoder's standard input, at the rate at which it happened."""
    first = next(pictures)
    high, wide = first.shape[0] // 2 * 2, first.shape[1] // 2 * 2  # it takes even numbers only
    span_s = float(of.time_s[-1] - of.time_s[0])
    rate = f"{(len(of.time_s) - 1) / span_s:.6f}" if span_s > 0 else "1"
    asked = [
        ENCODER, "-y", "-loglevel", "error", "-f", "rawvideo", "-pix_fmt", "rgb24", "-s", f"{wide}x{high}", "-r", rate,
        "-i", "-", "-an", "-pix_fmt", "yuv420p", "-metadata", "comment=stopload", "-f", "mp4", str(path),
    ]  # fmt: skip
    with subprocess.Popen(asked, stdin=subprocess.PIPE, stderr=subprocess.PIPE) as encoder:
        assert encoder.stdin is not None
        assert encoder.stderr is not None
        try:
            for picture in (first, *pictures):
                encoder.stdin.write(picture[:high, :wide].tobytes())
            encoder.stdin.close()
        except BrokenPipeError:
            pass  # it says below why it would take no more
        said = encoder.stderr.read().decode(errors="replace").strip()
    if encoder.returncode != 0:
        raise NoEncoder(f"{ENCODER} would not write {path.name}: {said or 'it does not say why'}")
