"""What is built and shipped: the wheel, its table, its requirements, the locks, the image's recipe."""

from __future__ import annotations

import ast
import email
import os
import re
import sqlite3
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PACKAGES = ("halfthou", "halfthou_service", "halfthou_specdb")
LOCKS = ("requirements.lock", "requirements-service.lock")
BASE = {"click", "requests", "simplejson"}


def hatchling(folder: Path, target: str, out: Path) -> Path:
    env = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    done = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", target, "-d", str(out)],
        cwd=folder, env=env, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    (built,) = [p for p in out.iterdir() if p.suffix == {"wheel": ".whl", "sdist": ".gz"}[target]]
    return built


@pytest.fixture(scope="session")
def sdist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return hatchling(ROOT, "sdist", tmp_path_factory.mktemp("sdist"))


@pytest.fixture(scope="session")
def wheel(sdist: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built from the source archive, so both are proved at once."""
    folder = tmp_path_factory.mktemp("unpacked")
    with tarfile.open(sdist) as archive:
        archive.extractall(folder, **({"filter": "data"} if hasattr(tarfile, "data_filter") else {}))  # 3.11.2 has none yet
    (tree,) = folder.iterdir()
    return hatchling(tree, "wheel", tmp_path_factory.mktemp("wheel"))


def names(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def metadata(wheel: Path) -> email.message.Message:
    with zipfile.ZipFile(wheel) as archive:
        (path,) = [n for n in archive.namelist() if n.endswith(".dist-info/METADATA")]
        return email.message_from_bytes(archive.read(path))


def test_source_archive_holds_the_data_and_what_builds_it(sdist: Path) -> None:
    with tarfile.open(sdist) as archive:
        held = {name.partition("/")[2] for name in archive.getnames()}
    data = {str(p.relative_to(ROOT)) for p in (ROOT / "specdb/halfthou_specdb/data").rglob("*.toml")}
    assert len(data) > 10
    assert data <= held
    assert {"hatch_build.py", "pyproject.toml", "LICENSE", "README.md", "Makefile", "examples/README.md", "examples/bench_logger.py", *LOCKS} <= held
    assert not [n for n in held if n.endswith((".sqlite", ".pyc")) or n.startswith(".venv")]


def test_wheel_holds_three_typed_packages_and_the_table(wheel: Path) -> None:
    held = names(wheel)
    assert {n.split("/")[0] for n in held if ".dist-info/" not in n} == set(PACKAGES)
    assert {f"{package}/py.typed" for package in PACKAGES} <= held
    assert "halfthou_specdb/specdb.sqlite" in held
    sources = {
        str(path.relative_to(root.parent))
        for root in (ROOT / "sdk/halfthou", ROOT / "service/halfthou_service", ROOT / "specdb/halfthou_specdb")
        for path in root.rglob("*")
        if path.is_file() and path.suffix not in {".pyc", ".sqlite"} and "_cache/" not in str(path)
    }
    assert sources <= held


def test_table_in_the_wheel_is_the_one_its_text_builds(wheel: Path, tmp_path: Path) -> None:
    from halfthou_specdb.build import build

    with zipfile.ZipFile(wheel) as archive:
        shipped = Path(archive.extract("halfthou_specdb/specdb.sqlite", tmp_path))
    edition = build(tmp_path / "here.sqlite")
    db = sqlite3.connect(f"file:{shipped}?mode=ro&immutable=1", uri=True)
    try:
        assert db.execute("select value from meta where key = 'edition'").fetchone() == (edition,)
        assert db.execute("pragma integrity_check").fetchone() == ("ok",)
        assert db.execute("select count(*) from limits").fetchone()[0] > 0
    finally:
        db.close()


def test_base_install_asks_for_three_packages_and_no_more(wheel: Path) -> None:
    required = metadata(wheel).get_all("Requires-Dist") or []
    base = {re.split(r"[^a-z-]", line)[0] for line in required if "extra ==" not in line}
    assert base == BASE
    assert set(metadata(wheel).get_all("Provides-Extra") or []) == {"service", "dev"}


def test_sdk_imports_no_more_than_the_base_install_gives() -> None:
    allowed = {*BASE, "urllib3", "halfthou", *sys.stdlib_module_names}
    for path in (ROOT / "sdk/halfthou").rglob("*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.Import):
                found = {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level:
                found = {(node.module or "").partition(".")[0]}
            else:
                continue
            assert found <= allowed, f"{path.name}:{node.lineno} needs {found - allowed} as soon as it is imported"


def test_command_of_the_wheel_is_the_command_line(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        (path,) = [n for n in archive.namelist() if n.endswith("entry_points.txt")]
        assert "halfthou = halfthou.cli:main" in archive.read(path).decode()


def test_editable_install_ships_no_table() -> None:
    """There the file is built on first use, so an edited record is seen at once."""
    assert not list((ROOT / "specdb").rglob("specdb.sqlite"))
    assert PROJECT["tool"]["hatch"]["build"]["dev-mode-dirs"] == ["service", "sdk", "specdb"]
    hook = ast.parse((ROOT / "hatch_build.py").read_text(encoding="utf-8"))
    assert 'version != "standard"' in ast.unparse(hook).replace("'", '"')


@pytest.mark.parametrize("name", LOCKS)
def test_lock_pins_and_hashes_everything_and_names_no_index(name: str) -> None:
    text = (ROOT / name).read_text(encoding="utf-8")
    assert not re.search(r"https?:|file:|--index|--extra-index|--find-links|\s/\w", text)
    blocks = re.split(r"\n(?=[a-z0-9])", re.sub(r"^#.*\n", "", text, flags=re.MULTILINE).strip())
    for block in blocks:
        assert re.match(r"[a-z0-9._-]+==[^ ]+ ", block), block.splitlines()[0]
        assert "--hash=sha256:" in block


def test_locks_agree() -> None:
    everything, service = (
        set(re.findall(r"^([a-z0-9._-]+==[^ ]+)", (ROOT / name).read_text(encoding="utf-8"), re.MULTILINE)) for name in LOCKS
    )
    assert service <= everything
    asked = [*PROJECT["project"]["dependencies"], *PROJECT["project"]["optional-dependencies"]["service"]]
    assert {re.split(r"[^a-z-]", line)[0] for line in asked} <= {pin.partition("==")[0] for pin in service}


def test_layers_are_under_contract() -> None:
    contracts = {c["id"]: c for c in PROJECT["tool"]["importlinter"]["contracts"]}
    assert contracts["table-is-lowest"]["source_modules"] == ["halfthou_specdb"]
    assert {"halfthou", "halfthou_service", "flask"} <= set(contracts["table-is-lowest"]["forbidden_modules"])
    assert {"flask", "marshmallow", "halfthou_service.http"} <= set(contracts["bench-and-calculations-are-pure"]["forbidden_modules"])
    assert contracts["service-layers"]["layers"][0] == "halfthou_service.http"
    sdk = contracts["sdk-stands-alone"]
    assert {"halfthou_service", "halfthou_specdb"} <= set(sdk["forbidden_modules"])
    assert len({line.partition(" ->")[0] for line in sdk["ignore_imports"]}) == 1, "one module of the SDK may run the service in process"


def test_changelog_tells_data_and_code_of_this_version() -> None:
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    section = text.partition(f"\n## {PROJECT['project']['version']} ")[2].partition("\n## ")[0]
    assert "### Data" in section
    assert "### Code" in section


def test_image_is_given_every_file_it_copies_and_runs_as_nobody_special() -> None:
    recipe = (ROOT / "docker/Dockerfile").read_text(encoding="utf-8")
    allowed = {line[1:].rstrip("/") for line in (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines() if line[:1] == "!"}
    copied = {word for line in re.findall(r"^COPY (?!--)(.*) \S+$", recipe, re.MULTILINE) for word in line.split()}
    assert copied == allowed
    assert all((ROOT / name).exists() for name in copied)
    assert re.search(r"^USER 10001", recipe, re.MULTILINE)
    assert "/livez" in recipe
    compose = (ROOT / "docker/compose.yaml").read_text(encoding="utf-8")
    image = f"image: halfthou:{PROJECT['project']['version']}"
    for line in ("read_only: true", "cap_drop: [ALL]", "no-new-privileges:true", '"127.0.0.1:8070:8070"', image):
        assert line in compose


def test_make_targets_are_told_to_developers() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^([a-z]+):.*##", makefile, re.MULTILINE))
    assert {"demo", "test", "lint", "bench", "serve", "lock", "clean"} <= targets
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert not [t for t in targets if f"make {t}" not in guide]


def test_gate_can_be_run_and_calls_the_tests_of_the_readme() -> None:
    gate = ROOT / ".ci/run"
    assert os.access(gate, os.X_OK)
    assert "\nmake test" in gate.read_text(encoding="utf-8")
