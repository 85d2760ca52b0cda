"""What the project promises of itself, whatever its pages do."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.db import models

ROOT = Path(settings.BASE_DIR)
LOCKS = sorted((ROOT / "requirements").glob("*.txt"))
CODE = ("studio", "planning", "assessments")
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))

# Top level: each entry is named in DEVELOPERS.md, so that a new one is a decision.
ENTRIES = {
    ".ci",
    ".gitignore",
    "DEVELOPERS.md",
    "LICENSE",
    "Makefile",
    "README.md",
    "assessments",
    "fixtures",
    "manage.py",
    "planning",
    "pyproject.toml",
    "requirements",
    "studio",
    "templates",
    "tests",
}
PURE = (
    "planning.geometry",
    "planning.rows.rows",
    "planning.rows.carrying_on",
    "planning.rows.thickness",
    "planning.bench.checking",
    "planning.bench.judging",
    "planning.pictures.building",
    "planning.pictures.checked",
    "planning.pictures.clock",
    "planning.pictures.drift",
    "planning.exploration",
    "planning.codes",
    "planning.milestones",
    "planning.pictures.shelf",
    "planning.splitting",
    "planning.statics",
    "planning.tracing",
    "studio.units",
    "studio.people.calendar",
    "studio.clay.allowance",
    "studio.clay.ordering",
    "studio.kilns.cones",
    "studio.kilns.curve",
    "studio.kilns.furnished",
    "studio.kilns.heat",
    "studio.kilns.hours",
    "studio.kilns.packing",
    "studio.kilns.shipped",
    "studio.room.cones",
    "studio.room.shrinkage",
    "studio.ware.drying",
    "studio.ware.stages",
    "assessments.scoring",
)
# Words that are the same in every language.
NAMES = {"Coilcourse"}
NEVER_IN_PURE = ("django", "rest_framework", "reportlab")


def layers() -> list[set[str]]:
    """The package order, top first, as import-linter has it."""
    tool = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]
    contract = next(each for each in tool["contracts"] if each["type"] == "layers")
    return [set(line.replace("|", " ").split()) for line in contract["layers"]]


class TestLocks:
    @pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
    def test_they_name_no_index_and_no_address(self, lock: Path) -> None:
        flags = r"--(extra-)?index-url|--find-links|--trusted-host|^\s*-[if]\s"
        named = [
            line
            for line in lock.read_text().splitlines()
            if not line.startswith("#") and ("://" in line or re.search(flags, line))
        ]
        assert named == []

    @pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
    def test_every_pin_has_its_hashes(self, lock: Path) -> None:
        text = re.sub(r"\\\n", " ", lock.read_text())
        pins = [line for line in text.splitlines() if re.match(r"[a-z0-9]", line, re.IGNORECASE)]
        assert pins
        assert [pin for pin in pins if "==" not in pin or "--hash=sha256:" not in pin] == []

    def test_what_is_tested_is_what_runs(self) -> None:
        app, dev = (_pins(ROOT / "requirements" / name) for name in ("app.txt", "dev.txt"))
        assert {name: dev.get(name) for name in app} == app


def _pins(lock: Path) -> dict[str, str]:
    return dict(re.findall(r"^([A-Za-z0-9._-]+)(?:\[.*?\])?==([^\s;]+)", lock.read_text(), re.M))


class TestPackages:
    def test_pure_modules_know_no_framework(self) -> None:
        """In a fresh interpreter, where nothing else has imported one."""
        program = (
            "import importlib, pkgutil, sys\n"
            f"for name in {PURE!r}:\n"
            "    module = importlib.import_module(name)\n"
            "    for each in pkgutil.walk_packages(getattr(module, '__path__', []), name + '.'):\n"
            "        importlib.import_module(each.name)\n"
            f"print([name for name in {NEVER_IN_PURE!r} if name in sys.modules])"
        )
        ran = subprocess.run(
            [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False
        )
        assert (ran.stdout.strip(), ran.stderr) == ("[]", "")

    def test_every_package_has_its_place_in_the_order(self) -> None:
        """The import linter checks only what it is told of."""
        studio = {
            f"studio.{each.stem}"
            for each in (ROOT / "studio").iterdir()
            if each.suffix == ".py" or (each / "__init__.py").exists()
        } - {"studio.__init__"}
        assert set().union(*layers()) == studio | {"planning", "assessments"}

    def test_tables_point_down_the_order_only(self) -> None:
        """A foreign key by name escapes the import linter."""
        place = {name: n for n, names in enumerate(layers()) for name in names}
        upward = [
            f"{model.__name__}.{field.name} → {field.related_model.__name__}"
            for model in apps.get_models()
            if (own := place.get(model._meta.app_config.name)) is not None
            for field in model._meta.get_fields()
            if isinstance(field, models.ForeignKey | models.ManyToManyField)
            if isinstance(field.related_model, type)
            and place.get(field.related_model._meta.app_config.name, own) < own
        ]
        assert upward == []

    def test_every_app_is_installed(self) -> None:
        found = {
            ".".join(each.parent.relative_to(ROOT).parts)
            for top in CODE
            for each in (ROOT / top).rglob("apps.py")
        }
        assert found == {name for name in settings.INSTALLED_APPS if name.split(".")[0] in CODE}


class TestTemplates:
    """Every sentence can be translated, every number has its unit, and the policy holds."""

    # 500.html is shown when anything may be broken, so it needs nothing.
    @pytest.mark.parametrize(
        "template",
        [each for each in TEMPLATES if each.name != "500.html"],
        ids=lambda each: each.stem,
    )
    def test_no_sentence_escapes_translation(self, template: Path) -> None:
        literal = r'<(code|script)\b.*?</\1>|<(\w+) class="code">.*?</\2>'
        markup = re.sub(literal, "", _untagged(template), flags=re.S)
        spoken = re.findall(r'\b(?:alt|title|aria-label|placeholder)="([^"]*)"', markup)
        spoken += re.sub(r"<[^>]*>|&\w+;", " ", markup).split()
        letters = {re.sub(r"[^A-Za-z]", "", each) for each in spoken}
        assert {each for each in letters if len(each) > 1} - NAMES == set()

    @pytest.mark.parametrize("template", TEMPLATES, ids=lambda each: each.stem)
    def test_nothing_in_it_breaks_the_content_policy(self, template: Path) -> None:
        inline = re.compile(r"<style\b|<script(?![^>]*\bsrc=)|\s(?:style|on[a-z]+)=", re.IGNORECASE)
        assert inline.findall(template.read_text()) == []

    @pytest.mark.parametrize("template", TEMPLATES, ids=lambda each: each.stem)
    def test_no_measure_is_shown_without_a_filter_for_it(self, template: Path) -> None:
        """`floatformat` is for coordinates in a drawing, where `u` keeps the language out."""
        text = template.read_text()
        bare = re.findall(r"\{\{[^}|]*_(?:mm|g|c|pct|cm3|cm2)\s*\}\}", text)
        bare += re.findall(r"\|floatformat(?!:\"-?\d+u\")[^|}]*", text)
        bare += re.findall(r"\|(?:date|time|safe|add|divisibleby|widthratio)\b[^|}]*", text)
        assert bare == []


def _untagged(template: Path) -> str:
    """What stands in a template outside its tags and outside translated blocks."""
    text = re.sub(r"{% block \w*class %}.*?{% endblock %}", "", template.read_text())
    for block in ("blocktranslate", "comment"):
        pattern = rf"{{%\s*{block}\b.*?{{%\s*end{block}\s*%}}"
        text = re.sub(pattern, "", text, flags=re.S)
    return re.sub(r"{%.*?%}|{{.*?}}|{#.*?#}", "", text, flags=re.S)


class TestTheTree:
    def test_the_top_level_holds_what_it_should(self) -> None:
        listed = subprocess.run(
            ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
        )
        if listed.returncode:
            pytest.skip("not a git checkout")
        assert {line.split("/")[0] for line in listed.stdout.splitlines()} <= ENTRIES

    def test_there_are_no_drawers_for_everything(self) -> None:
        names = {"utils.py", "helpers.py", "misc.py", "common.py"}
        assert [
            each for top in CODE for each in (ROOT / top).rglob("*.py") if each.name in names
        ] == []

    def test_nothing_is_left_for_later(self) -> None:
        """A wish is an issue, not a remark in the code."""
        marks = re.compile(r"\b(TO" + r"DO|FIX" + r"ME|X" + r"XX)\b")
        files = [each for top in CODE for each in (ROOT / top).rglob("*.py")] + TEMPLATES
        assert [each for each in files if marks.search(each.read_text())] == []
