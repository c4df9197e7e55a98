"""No string reaches a widget except through tui.browser.text, where it is cleaned."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import tui.browser
from tui.browser.text import ROLES, row, shown

FOLDER = Path(tui.browser.__file__).parent
# Calls that put text on a screen, and the parameters that hold it.
SHOWS = {
    "Static", "Label", "Button", "Option", "DataTable", "Tree", "Select", "Collapsible", "TabPane",
    "Checkbox", "RadioButton", "Markdown", "Rule", "Placeholder", "Pretty", "Log", "RichLog",
    "update", "notify", "add_row", "add_column", "add_option", "add_options", "add_columns",
    "write", "write_line", "set_options", "replace_option_prompt",
}  # fmt: skip
TITLES = {
    "border_title",
    "border_subtitle",
    "tooltip",
    "title",
    "sub_title",
    "placeholder",
    "label",
}
# What hands out cleaned Content; `lines` and `row` take Content or clean what they are given.
CLEAN = {"from_page", "_verdict", "shown", "row", "lines", "drawn", "Content", "headline", "swatch"}


def sources() -> list[Path]:
    return sorted(FOLDER.rglob("*.py"))


def bare_strings(source: str) -> list[str]:
    """Each place where something that is not Content may reach a widget."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            name = (
                node.func.attr
                if isinstance(node.func, ast.Attribute)
                else getattr(node.func, "id", "")
            )
            if name in SHOWS:
                values = [
                    *node.args,
                    *(k.value for k in node.keywords if k.arg in ("content", "prompt", "label")),
                ]
                found += [
                    f"line {node.lineno}: {name}({ast.unparse(v)})"
                    for v in values
                    if not is_clean(v)
                ]
        if isinstance(node, ast.Assign):
            for target in node.targets:
                if (
                    isinstance(target, ast.Attribute)
                    and target.attr in TITLES
                    and not is_clean(node.value)
                ):
                    found.append(f"line {node.lineno}: {ast.unparse(node)}")
    return found


def is_clean(value: ast.expr) -> bool:
    if isinstance(value, ast.Call):
        name = (
            value.func.attr
            if isinstance(value.func, ast.Attribute)
            else getattr(value.func, "id", "")
        )
        return name in CLEAN
    if isinstance(value, ast.IfExp):
        return is_clean(value.body) and is_clean(value.orelse)
    if isinstance(value, ast.Constant):
        return value.value in ("", None)
    return False


@pytest.mark.parametrize("path", sources(), ids=lambda path: path.name)
def test_no_bare_string_in_a_widget(path: Path) -> None:
    assert bare_strings(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "bad",
    [
        'Static("text")', 'Static(f"{name}")', "widget.update(name)", "self.notify(str(fault))",
        'field.border_title = "Which?"', "Label(name)", "table.add_row(a, b)",
        'Static(shown("a") if x else name)',
    ],
)  # fmt: skip
def test_the_rule_finds_what_it_must(bad: str) -> None:
    assert bare_strings(bad)


def test_fields_are_ours() -> None:
    for path in sources():
        if path.name != "field.py":
            text = path.read_text("utf-8")
            assert " Input(" not in text and " TextArea(" not in text, path.name


def test_markup_is_never_parsed_in_our_code() -> None:
    for path in sources():
        text = path.read_text("utf-8")
        assert "from_markup" not in text and "markup=True" not in text, path.name


@pytest.mark.parametrize("role", ROLES)
def test_shown_text_is_cleaned_and_literal(role: str) -> None:
    for bad in ("[/oops]", "[bold]x", "\x1b]52;c;eA==\x07", "\x9b31m", "a\nb", "\u202eabc"):
        seen = shown(bad, role).plain
        assert "\x1b" not in seen and "\x9b" not in seen and "\n" not in seen
        assert "\u202e" not in seen
    assert shown("[/oops]").plain == "[/oops]"
    assert row("[b]", ("[/b]", "flag")).plain == "[b][/b]"
