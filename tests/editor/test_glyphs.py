"""Every character that the window can show is in the shipped fonts, in both weights."""

from __future__ import annotations

import ast
import json
from pathlib import Path

import pygame
import pytest

from layoutest.drawing.assets import asset
from layoutest.editor.tally import SYMBOLS
from layoutest.editor.window.type import FACES, Type
from layoutest.tables.reference import shipped_pipes
from layoutest.tables.shipped import demo_folder

PACKAGE = Path(__file__).parents[2] / "layoutest"
# The rooms whose words come into the window: its own, and those whose snags, labels and figures it tells.
ROOMS = ("editor", "drawing", "layout", "network", "cover", "check", "live", "edit", "pack", "price", "files", "book")
FILES = sorted(
    [path for room in ROOMS for path in (PACKAGE / room).rglob("*.py")] + [PACKAGE / "choose.py", PACKAGE / "errors.py"]
)
# What else is typed or counted: figures, signs of numbers, units and currencies.
TYPED = "0123456789+-−±.,:;=%/'\"()°×" + "".join(SYMBOLS.values())


def strings(path):
    """The texts of a module but for its docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.value


def shown(words):
    """Line breaks and tabs part words; they are not drawn."""
    return words.replace("\n", "").replace("\t", "")


@pytest.fixture(scope="module")
def type_():
    return Type(1.0)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_what_the_program_says_can_be_shown(path, type_):
    assert type_.missing_glyphs(shown("".join(strings(path)))) == ""


def test_what_the_demo_layouts_and_the_price_books_say_can_be_shown(type_):
    for path in sorted(demo_folder().rglob("*")):
        if path.suffix == ".json":
            text = json.dumps(json.loads(path.read_text(encoding="utf-8")), ensure_ascii=False)
        elif path.suffix in (".toml", ".csv"):
            text = path.read_text(encoding="utf-8-sig")
        else:
            continue
        assert type_.missing_glyphs(shown(text.replace("\r", ""))) == "", path.name


def test_pipes_figures_and_currencies_can_be_shown(type_):
    assert type_.missing_glyphs("".join(shipped_pipes())) == ""
    assert type_.missing_glyphs(TYPED) == ""


def test_names_in_many_languages_can_be_shown(type_):
    # Pangrams: Danish, German, French, Icelandic, Polish, Turkish, Greek, Russian.
    for words in (
        "Quizdeltagerne spiste jordbær med fløde, mens cirkusklovnen Walther spillede på xylofon.",
        "Zwölf Boxkämpfer jagen Viktor quer über den großen Sylter Deich.",
        "Dès Noël où un zéphyr haï me vêt de glaçons würmiens, je dîne d’exquis rôtis de bœuf au kir à l’aÿ d’âge mûr.",
        "Kæmi ný öxi hér ykist þjófum nú bæði víl og ádrepa.",
        "Pchnąć w tę łódź jeża lub ośm skrzyń fig.",
        "Pijamalı hasta yağız şoföre çabucak güvendi.",
        "Ξεσκεπάζω την ψυχοφθόρα βδελυγμία.",
        "Съешь же ещё этих мягких французских булок, да выпей чаю.",
    ):
        assert type_.missing_glyphs(words) == ""


def test_a_character_that_no_font_has_is_named(type_):
    # A Han character and an unassigned one; neither font has them.
    assert type_.missing_glyphs("Ventil 阀 \U000e1000") == "阀\U000e1000"


@pytest.mark.parametrize("bold", [False, True])
def test_what_the_first_font_lacks_is_drawn_with_the_second(type_, bold):
    # The sign of a diameter is in DejaVu Sans alone; both fonts have figures.
    faces = [pygame.font.Font(str(asset("fonts") / name), 13) for name in FACES[bold]]
    assert type_.measure("⌀", "base", bold) == faces[1].size("⌀")[0]
    assert type_.measure("⌀ 35", "base", bold) == faces[1].size("⌀")[0] + faces[0].size(" 35")[0]
    drawn, _ = type_.drawn("⌀", 13, bold, (0, 0, 0), None, False)
    own = faces[1].render("⌀", True, (0, 0, 0))
    box = drawn.get_bounding_rect()
    assert pygame.mask.from_surface(drawn.subsurface(box)).count() == pygame.mask.from_surface(own).count() > 0


@pytest.mark.parametrize("words", ["a\0b", "a\tb", "\ud800", "é\0", "\u200b", "", "שלום", "\U0001f600", "e\u0301"])
def test_whatever_stands_in_a_file_is_measured_and_drawn(type_, words):
    surface, _ = type_.drawn(words, 13, False, (0, 0, 0), (255, 255, 255), False)
    assert surface.get_width() >= type_.measure(words, "base", False) >= 0


def test_what_cannot_be_drawn_is_seen_as_a_sign_of_its_own(type_):
    assert type_.missing_glyphs("\ufffd") == ""
    assert type_.measure("a\0b", "base", False) == type_.measure("a\ufffdb", "base", False)
