"""A film of the floor: what is on every cell, frame by frame, over the drawing of the layout."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from importlib.util import find_spec
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw

from loopwright.drawing.frame import place_of, shown_box
from loopwright.drawing.mark import CELL, Mark
from loopwright.drawing.palette import MATERIALS
from loopwright.drawing.raster import colour, font, marks_image
from loopwright.drawing.sheet import layout_marks
from loopwright.layout.footprint import occupied_cells
from loopwright.layout.layout import Layout
from loopwright.simulate.state import Carrier

RATE = 15
"""Frames a second."""

MOST_FRAMES = 900

FOOT = 46
"""Height of caption, clock and key below the floor [pixels]."""

PICTURES = ("webp", "gif", "apng")
"""Formats that Pillow writes; MP4 needs the package imageio-ffmpeg."""

COLOURS = 200
"""Colours of GIF and APNG."""

LETTERS = 9
"""Least side of a carrier that shows its letter [pixels]."""

_TOLD = ("plates", "letters")
"""Groups of marks that say in a drawing what a belt carries; a film shows that itself."""

Cells = Mapping[str, Sequence[Carrier | None]]


def film_formats() -> tuple[str, ...]:
    """The formats that can be written here."""
    return (*PICTURES, *(("mp4",) if find_spec("imageio_ffmpeg") else ()))


@dataclass(frozen=True, slots=True)
class Shot:
    """The floor at `time` [s]: what is on the cells of each belt, tail first."""

    time: Fraction
    belts: Cells


class Film:
    """Draws shots of `layout`, `width` pixels wide."""

    def __init__(
        self, layout: Layout, *, width: int = 960, theme: str = "light", caption: str = ""
    ) -> None:
        self.layout, self.theme, self.caption = layout, theme, caption
        box = shown_box(layout, occupied_cells(layout))
        west, north, east, south = place_of(box)
        self.width = _whole(width)
        self.scale = self.width / (east - west)
        floor = round((south - north) * self.scale)
        self.height = _whole(floor + FOOT)
        marks = [_emptied(mark) for mark in layout_marks(layout, box) if mark.group not in _TOLD]
        size = (self.width, self.height)
        self._base = marks_image(marks, (west, north), size, self.scale, theme)
        self._key()
        side = max(2, int(CELL * self.scale * 0.8))
        self._tiles = np.stack(
            [self._tile(number, side) for number in range(1, len(layout.materials) + 1)]
        )
        self._numbers = {kind.name: number for number, kind in enumerate(layout.materials)}
        half = (CELL * self.scale - side) / 2
        self._places = {
            belt.name: np.array(
                [
                    (
                        (cell.x * CELL - west) * self.scale + half,
                        (cell.y * CELL - north) * self.scale + half,
                    )
                    for cell in belt.path
                ]
            ).astype(int)
            for belt in layout.belts
        }
        self._under = {
            belt.name: np.array([cell.level for cell in belt.path]) for belt in layout.belts
        }

    def picture(self, shot: Shot) -> Image.Image:
        """One frame."""
        pixels = np.array(self._base)
        places, kinds = self._carriers(shot.belts)
        side = self._tiles.shape[1]
        for down in range(side):
            for across in range(side):
                rows = np.clip(places[:, 1] + down, 0, self.height - 1)
                columns = np.clip(places[:, 0] + across, 0, self.width - 1)
                pixels[rows, columns] = self._tiles[kinds, down, across]
        picture = Image.fromarray(pixels)
        draw = ImageDraw.Draw(picture)
        at = (self.width - 12, self.height - FOOT + 13)
        ink = colour("ink", self.theme)
        draw.text(at, clock(shot.time), fill=ink, font=font(15), anchor="rm")
        return picture

    def _carriers(self, belts: Cells) -> tuple[Any, Any]:
        """Where carriers are and of which material; those one level up come last."""
        found: list[tuple[int, int, int, int]] = []
        for name, cells in belts.items():
            places, levels = self._places[name], self._under[name]
            for index, carrier in enumerate(cells):
                if carrier is not None:
                    x, y = places[index]
                    found.append((int(levels[index]), x, y, self._numbers[carrier[0]]))
        found.sort(key=lambda one: one[0])
        table = np.array(found, dtype=int).reshape(-1, 4)
        return table[:, 1:3], table[:, 3]

    def _tile(self, number: int, side: int) -> Any:
        """A carrier: the colour of its material, an edge, and its letter where there is room."""
        tile = Image.new("RGB", (side, side), colour(_role(number), self.theme))
        draw = ImageDraw.Draw(tile)
        if side >= 5:
            draw.rectangle((0, 0, side - 1, side - 1), outline=colour("dark", self.theme))
        if side >= LETTERS:
            letter = self.layout.materials[number - 1].letter
            middle = (side / 2, side / 2)
            ink = colour("dark", self.theme)
            draw.text(middle, letter, fill=ink, font=font(side * 0.7), anchor="mm")
        return np.array(tile)

    def _key(self) -> None:
        """Caption and key of materials, below the floor."""
        draw = ImageDraw.Draw(self._base)
        top = self.height - FOOT
        soft, ink = colour("soft", self.theme), colour("ink", self.theme)
        draw.rectangle((0, top, self.width, self.height), fill=colour("sheet", self.theme))
        draw.line(((0, top), (self.width, top)), fill=colour("faint", self.theme))
        draw.text((12, top + 13), self.caption, fill=ink, font=font(15), anchor="lm")
        x = 12.0
        for number, kind in enumerate(self.layout.materials, start=1):
            words = f"{kind.letter}  {kind.title}"
            face = font(12)
            length = face.getlength(words)
            if x + 20 + length > self.width - 12:
                break
            fill, edge = colour(_role(number), self.theme), colour("dark", self.theme)
            draw.rectangle((x, top + 27, x + 12, top + 39), fill=fill, outline=edge)
            draw.text((x + 18, top + 33), words, fill=soft, font=face, anchor="lm")
            x += 36 + length


def _emptied(mark: Mark) -> Mark:
    """Belts without the bands of what they carry."""
    return replace(mark, ink="belt-empty") if mark.ink.startswith("band") else mark


def _role(number: int) -> str:
    return f"material{(number - 1) % MATERIALS + 1}"


def _whole(pixels: int) -> int:
    """A multiple of 16, as encoders of films want it."""
    return max(16, -(-pixels // 16) * 16)


def clock(time: Fraction) -> str:
    """A time of the plant as minutes and seconds, such as 12:34.5."""
    tenths = int(time * 10)
    return f"{tenths // 600}:{tenths // 10 % 60:02d}.{tenths % 10}"


def write_film(
    path: Path,
    pictures: Callable[[], Iterable[Image.Image]],
    form: str,
    count: int,
    progress: Callable[[float], None] | None = None,
) -> None:
    """Write `count` frames as a film that starts over at its end; an old file stays until it is
    complete. `pictures` gives all frames, from the first on, each time that it is called.

    Raises
    ------
    ValueError
        There is no frame, or the format cannot be written here.
    OSError
        The file cannot be written.
    """
    if form not in film_formats():
        raise ValueError(f"films cannot be written as {form} here")
    part = path.with_name(f".{path.name}.part")
    frames = _Frames(pictures, count, progress)
    first = next(iter(pictures()), None)
    if first is None:
        raise ValueError("a film needs a frame")
    try:
        if form == "mp4":
            _write_mp4(part, first.size, frames)
        else:
            _write_pictures(part, first, frames, form)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


class _Frames:
    """All frames, drawn anew each time they are gone through: none is held."""

    def __init__(
        self,
        pictures: Callable[[], Iterable[Image.Image]],
        count: int,
        progress: Callable[[float], None] | None,
    ) -> None:
        self.pictures, self.count, self.progress = pictures, count, progress

    def __iter__(self) -> Iterator[Image.Image]:
        for number, picture in enumerate(self.pictures(), start=1):
            yield picture
            if self.progress is not None:
                self.progress(number / max(self.count, 1))


class _Rest:
    """All frames but the first."""

    def __init__(self, frames: _Frames) -> None:
        self.frames = frames

    def __iter__(self) -> Iterator[Image.Image]:
        return islice(self.frames, 1, None)


class _Few:
    """All frames but the first in the few colours of `table`: smaller, and as GIF wants it."""

    def __init__(self, frames: _Frames, table: Image.Image) -> None:
        self.frames, self.table = frames, table

    def __iter__(self) -> Iterator[Image.Image]:
        for picture in islice(self.frames, 1, None):
            yield picture.quantize(palette=self.table, dither=Image.Dither.NONE)


def _write_pictures(part: Path, first: Image.Image, frames: _Frames, form: str) -> None:
    options: dict[str, Any] = {"save_all": True, "loop": 0, "duration": round(1000 / RATE)}
    with part.open("wb") as file:
        if form == "webp":
            options |= {"format": "WEBP", "lossless": True, "quality": 80, "method": 3}
            first.save(file, append_images=_Rest(frames), **options)
            return
        table = _table(first)
        options |= {"format": "GIF" if form == "gif" else "PNG"}
        start = first.quantize(palette=table, dither=Image.Dither.NONE)
        start.save(file, append_images=_Few(frames, table), **options)


def _table(first: Image.Image) -> Image.Image:
    """The colours of the first frame, and those of all materials, which may come later."""
    few = first.quantize(COLOURS, dither=Image.Dither.NONE)
    table = (few.getpalette() or [])[: 3 * COLOURS]
    for number in range(1, MATERIALS + 1):
        table += colour(_role(number), "light")
    found = Image.new("P", (1, 1))
    found.putpalette(table)
    return found


def _write_mp4(part: Path, size: tuple[int, int], frames: _Frames) -> None:
    from imageio_ffmpeg import write_frames

    writer = write_frames(
        str(part),
        size,
        fps=RATE,
        codec="libx264",
        output_params=["-f", "mp4", "-movflags", "faststart"],
    )
    writer.send(None)
    try:
        for one in frames:
            writer.send(one.tobytes())
    finally:
        writer.close()
