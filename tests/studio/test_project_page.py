"""The Project page in a browser: text and form of one file, its findings, its history."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from loopwright.model.example import example_path
from tests.studio.browser import LiveStudio, axe_faults, wait_for

FILE = "kits.yaml"
HASTE = 150
"""The editor takes no option that has been there for less than 75 ms [ms]."""

TABLE = "name,title,letter,stack\nstrap,Strap,SP,4\ntap,Brass tap,T,2\n"


@pytest.fixture
def kits(studio: LiveStudio) -> Path:
    """The demonstration project in the folder of the studio, as it comes."""
    path = studio.folder / FILE
    path.write_text(example_path("filter-kits.yaml").read_text("utf-8"), "utf-8", newline="")
    return path


@pytest.fixture
def editor(page: Any, studio: LiveStudio, kits: Path) -> Any:
    """The page with the file open and checked."""
    opened(page, studio)
    return page


def opened(page: Any, studio: LiveStudio) -> None:
    page.goto(studio.address("project", FILE))
    page.get_by_label("Text of the project file").wait_for()
    page.get_by_text("nothing is wrong with the file").wait_for()


def go_to(page: Any, line: int) -> None:
    """The cursor at the end of a line of the text."""
    page.get_by_label("Text of the project file").click()
    page.keyboard.press("Control+Home")
    for _ in range(line - 1):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("End")


def line_of(path: Path, part: str) -> int:
    lines = path.read_text("utf-8").splitlines()
    return next(at for at, line in enumerate(lines, 1) if part in line)


def test_a_broken_line_is_marked_and_its_finding_leads_to_it(editor: Any, kits: Path) -> None:
    line = line_of(kits, "cycle: 60 s")
    go_to(editor, line)
    editor.keyboard.type("oon")
    finding = editor.locator(".findings li.error")
    finding.wait_for()
    assert finding.count() == 1
    assert finding.get_by_role("button").inner_text() == f"line {line}"
    mark = editor.locator(".cm-lintRange-error")
    mark.wait_for()
    assert mark.inner_text() == "60 soon"
    assert editor.locator(".cm-lint-marker-error").count() == 1

    go_to(editor, 1)
    finding.get_by_role("button").click()
    active = editor.locator(".cm-activeLine")
    wait_for(lambda: active.inner_text().strip() == "cycle: 60 soon")

    for _ in range(3):
        editor.keyboard.press("Control+z")
    editor.get_by_text("nothing is wrong with the file").wait_for()
    assert editor.locator(".cm-lintRange-error").count() == 0


def test_a_value_of_the_form_is_written_and_every_comment_stays(editor: Any, kits: Path) -> None:
    before = kits.read_text("utf-8")
    assert "  row: 36  " in before
    form = editor.get_by_label("Form", exact=True)
    form.get_by_role("textbox", name="row", exact=True).fill("40")
    shown = editor.get_by_label("Text of the project file")
    wait_for(lambda: "row: 40" in shown.inner_text())
    wait_for(lambda: "row: 40" in kits.read_text("utf-8"))
    assert kits.read_text("utf-8") == before.replace("  row: 36  ", "  row: 40  ")

    editor.get_by_role("button", name="Undo").click()
    field = form.get_by_role("textbox", name="row", exact=True)
    wait_for(lambda: field.input_value() == "36")
    wait_for(lambda: kits.read_text("utf-8") == before)


def test_what_is_wrong_stands_at_its_field(editor: Any) -> None:
    form = editor.get_by_label("Form", exact=True)
    field = form.get_by_role("textbox", name="row", exact=True)
    field.fill("many")
    wait_for(lambda: field.get_attribute("aria-invalid") == "true")
    field.fill("")
    wait_for(lambda: field.get_attribute("aria-invalid") == "false")
    assert field.get_attribute("placeholder") == "auto"


def test_keys_and_names_are_completed_by_their_place(editor: Any, kits: Path) -> None:
    go_to(editor, line_of(kits, "letter: K}"))
    editor.keyboard.press("ArrowLeft")
    editor.keyboard.type(", sup")
    options = editor.locator(".cm-tooltip-autocomplete li")
    options.first.wait_for()
    assert options.first.inner_text().startswith("supply")
    assert not any("stations" in one for one in options.all_inner_texts())
    editor.wait_for_timeout(HASTE)
    editor.keyboard.press("Enter")
    editor.keyboard.press("Control+Space")
    wait_for(lambda: "imported" in options.all_inner_texts())
    editor.keyboard.type("mad")
    wait_for(lambda: options.all_inner_texts() == ["made"])
    editor.wait_for_timeout(HASTE)
    editor.keyboard.press("Enter")
    wait_for(lambda: "letter: K, supply: made}" in kits.read_text("utf-8"))


def test_two_tabs_on_one_line_are_asked_place_by_place_which_text_stands(
    editor: Any, studio: LiveStudio, kits: Path
) -> None:
    other = editor.context.new_page()
    opened(other, studio)
    line = line_of(kits, "  name: ")
    held: list[Any] = []
    editor.route("**/api/files/*", lambda route: hold(route, held))
    go_to(editor, line)
    editor.keyboard.type(" of the first tab")
    wait_for(lambda: editor.wait_for_timeout(50) or held)
    go_to(other, line)
    other.keyboard.type(" of the other tab")
    go_to(other, line_of(kits, "letter: K}"))
    other.keyboard.type(" # only there")
    wait_for(lambda: "# only there" in kits.read_text("utf-8"))
    for route in held:
        route.continue_()
    editor.locator(".conflict").wait_for()
    editor.unroute("**/api/files/*")
    assert axe_faults(editor) == []
    assert "of the first tab" in editor.locator("td.left").first.inner_text()
    assert "of the other tab" in editor.locator("td.right").first.inner_text()
    theirs = editor.get_by_label("theirs here")
    assert [theirs.nth(at).is_checked() for at in range(2)] == [False, True]
    editor.get_by_role("button", name="Take what is picked").click()
    wait_for(lambda: "of the first tab" in kits.read_text("utf-8"))
    assert "# only there" in kits.read_text("utf-8")
    assert "of the other tab" not in kits.read_text("utf-8")


def hold(route: Any, held: list[Any]) -> None:
    """Keep what would be written until it is let go."""
    if route.request.method == "PUT" and not held:
        held.append(route)
    else:
        route.continue_()


def test_changes_of_other_lines_are_put_together(
    editor: Any, studio: LiveStudio, kits: Path
) -> None:
    go_to(editor, line_of(kits, "  name: "))
    editor.keyboard.type(" here")
    text = kits.read_text("utf-8")
    kits.write_text(text.replace("letter: K}", "letter: H}"), "utf-8", newline="")
    shown = editor.get_by_label("Text of the project file")
    wait_for(lambda: "letter: H}" in shown.inner_text())
    wait_for(lambda: "kits here" in kits.read_text("utf-8"))
    assert "letter: H}" in kits.read_text("utf-8")


def test_an_older_text_comes_back_from_the_history_and_can_be_undone(
    editor: Any, kits: Path
) -> None:
    before = kits.read_text("utf-8")
    go_to(editor, line_of(kits, "letter: K}"))
    editor.keyboard.type(" # changed")
    wait_for(lambda: "# changed" in kits.read_text("utf-8"))
    editor.get_by_role("button", name="History").click()
    versions = editor.locator("button.version")
    wait_for(lambda: versions.count() >= 2)
    versions.nth(1).click()
    editor.locator(".difference .come").filter(has_text="# changed").wait_for()
    editor.get_by_role("button", name="Go back to it").click()
    wait_for(lambda: kits.read_text("utf-8") == before)
    editor.get_by_role("button", name="Close").click()
    editor.get_by_role("button", name="Undo").click()
    wait_for(lambda: "# changed" in kits.read_text("utf-8"))


def test_a_table_is_shown_before_it_goes_into_the_file(
    editor: Any, kits: Path, tmp_path: Path
) -> None:
    table = tmp_path / "more.csv"
    table.write_text(TABLE, "utf-8")
    editor.get_by_label("Put in tables (CSV)").set_input_files(table)
    asked = editor.get_by_role("dialog", name="Table more.csv")
    asked.locator(".come").first.wait_for()
    assert asked.get_by_role("combobox").input_value() == "materials"
    assert [line for line in asked.locator(".come").all_inner_texts() if "strap" in line]
    assert axe_faults(editor) == []
    before = kits.read_text("utf-8")
    assert "strap" not in before
    asked.get_by_role("button", name="Put it in").click()
    wait_for(lambda: "strap: {" in kits.read_text("utf-8"))
    after = kits.read_text("utf-8")
    assert "Brass tap" in after
    assert after.count("#") == before.count("#")


def test_a_table_that_is_dropped_on_the_text_does_not_become_text(editor: Any, kits: Path) -> None:
    before = kits.read_text("utf-8")
    editor.evaluate(
        """([name, table]) => {
            const dataTransfer = new DataTransfer();
            dataTransfer.items.add(new File([table], name, { type: "text/csv" }));
            const text = document.querySelector(".cm-content");
            for (const kind of ["dragenter", "dragover", "drop"])
                text.dispatchEvent(
                    new DragEvent(kind, { dataTransfer, bubbles: true, cancelable: true })
                );
        }""",
        ["more.csv", TABLE],
    )
    editor.get_by_role("dialog", name="Table more.csv").wait_for()
    editor.keyboard.press("Escape")
    assert editor.get_by_role("dialog").count() == 0
    assert "strap" not in editor.get_by_label("Text of the project file").inner_text()
    assert kits.read_text("utf-8") == before
