"""Films of the floor: carriers stand where they are, formats, sizes, clocks."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from loopwright.block import size_block
from loopwright.drawing import film
from loopwright.drawing.film import Film, Shot, clock, film_formats, write_film
from loopwright.drawing.raster import colour
from loopwright.layout import Layout, place_layout
from loopwright.model import check_text, starter_text
from loopwright.plan import solve_plan


@pytest.fixture(scope="module")
def layout() -> Layout:
    project, _ = check_text(starter_text("starter"))
    assert project is not None
    return place_layout(size_block(solve_plan(project), project), project)


def _shot(layout: Layout, **carriers: dict[int, str]) -> Shot:
    """Nothing but these carriers: cell and material, by belt."""
    belts = {}
    for belt in layout.belts:
        held = carriers.get(belt.name.replace(" ", "_"), {})
        belts[belt.name] = [
            (held[index], 1) if index in held else None for index in range(len(belt.path))
        ]
    return Shot(Fraction(125, 2), belts)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_carrier_is_painted_on_its_cell_and_nowhere_else(layout: Layout, theme: str) -> None:
    belt = next(belt for belt in layout.belts if belt.role == "lane")
    material = layout.materials[1].name
    drawn = Film(layout, theme=theme, width=800)
    cell = 7
    empty = np.array(drawn.picture(_shot(layout)))
    full = np.array(drawn.picture(_shot(layout, **{belt.name.replace(" ", "_"): {cell: material}})))
    rows, columns = np.nonzero((empty != full).any(axis=2))
    assert len(rows) > 8
    x, y = drawn._places[belt.name][cell]
    side = drawn._tiles.shape[1]
    assert rows.min() >= y
    assert rows.max() < y + side
    assert columns.min() >= x
    assert columns.max() < x + side
    assert (full[rows, columns] == colour("material2", theme)).all(axis=1).any()


def test_a_carrier_one_level_up_covers_what_is_below(layout: Layout) -> None:
    drawn = Film(layout, width=640)
    belt = next(belt for belt in layout.belts if belt.role == "lane")
    names = [layout.materials[0].name, layout.materials[1].name]
    drawn._places[belt.name][1] = drawn._places[belt.name][0]
    for upper in (0, 1):
        drawn._under[belt.name][:2] = (1, 0) if upper == 0 else (0, 1)
        shot = _shot(layout, **{belt.name.replace(" ", "_"): dict(enumerate(names))})
        places, kinds = drawn._carriers(shot.belts)
        assert len(places) == 2
        assert kinds[-1] == upper


def _pictures(count: int = 3) -> Iterator[Image.Image]:
    for number in range(count):
        yield Image.new("RGB", (32, 16), colour(f"material{number + 1}", "light"))


@pytest.mark.parametrize("form", film.PICTURES)
def test_a_film_has_all_its_frames(tmp_path: Path, form: str) -> None:
    told: list[float] = []
    path = tmp_path / f"a.{form}"
    write_film(path, _pictures, form, 3, told.append)
    with Image.open(path) as found:
        assert found.size == (32, 16)
        assert getattr(found, "n_frames", 1) == 3
        for number in range(3):
            found.seek(number)
            shown = np.array(found.convert("RGB"))[0, 0].astype(int)
            assert abs(shown - colour(f"material{number + 1}", "light")).max() < 4
    assert told[-1] == 1
    assert list(tmp_path.iterdir()) == [path]


def test_a_film_that_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="cannot be written as avi"):
        write_film(tmp_path / "a.avi", _pictures, "avi", 3)
    with pytest.raises(ValueError, match="needs a frame"):
        write_film(tmp_path / "a.gif", lambda: iter(()), "gif", 0)

    def broken() -> Iterator[Image.Image]:
        yield from _pictures(2)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_film(tmp_path / "a.gif", broken, "gif", 3)
    assert list(tmp_path.iterdir()) == []


def test_mp4_is_offered_only_with_its_encoder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(film, "find_spec", lambda _: None)
    assert film_formats() == ("webp", "gif", "apng")
    monkeypatch.setattr(film, "find_spec", lambda _: object())
    assert film_formats()[-1] == "mp4"


def test_sizes_are_such_as_encoders_want(layout: Layout) -> None:
    drawn = Film(layout, width=333)
    assert (drawn.width % 16, drawn.height % 16) == (0, 0)
    assert drawn.picture(_shot(layout)).size == (drawn.width, drawn.height)


def test_the_clock() -> None:
    assert [clock(Fraction(*pair)) for pair in ((0, 1), (625, 10), (7199, 1), (59_99, 100))] == [
        "0:00.0",
        "1:02.5",
        "119:59.0",
        "0:59.9",
    ]
