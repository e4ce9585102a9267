"""What the image runs is what README says; no engine is at hand, so the files are read."""

import re
from pathlib import Path

from service.settings import from_environment

ROOT = Path(__file__).parent.parent.parent
DOCKERFILE = (ROOT / "docker" / "Dockerfile").read_text("utf-8")
COMPOSE = (ROOT / "docker" / "compose.yaml").read_text("utf-8")
README = (ROOT / "README.md").read_text("utf-8")


def test_the_image_serves_as_readme_says() -> None:
    assert 'CMD ["kettlemark", "serve"]' in DOCKERFILE
    assert "kettlemark serve" in README
    assert "docker compose -f docker/compose.yaml up --build" in README
    assert "dockerfile: docker/Dockerfile" in COMPOSE


def test_the_settings_of_the_image_are_settings() -> None:
    pairs = re.findall(r'(KETTLEMARK_[A-Z_]+)="([^"]+)"', DOCKERFILE)
    settings = from_environment(dict(pairs))
    assert settings.database_url == "sqlite:////data/kettlemark.sqlite"
    assert settings.host == "0.0.0.0"
    assert f"EXPOSE {settings.port}" in DOCKERFILE


def test_the_image_runs_as_an_ordinary_user_with_a_volume_and_a_health_check() -> None:
    final = DOCKERFILE.rsplit("FROM ", 1)[1]
    assert "USER kettlemark" in final
    assert "VOLUME /data" in final
    assert "/health/ready" in final
    assert "kettlemark-data:/data" in COMPOSE


def test_every_line_of_the_lock_is_hashed_and_names_no_index() -> None:
    lock = (ROOT / "docker" / "requirements.lock").read_text("utf-8")
    pins = [line for line in lock.splitlines() if "==" in line]
    assert len(pins) > 20
    assert lock.count("--hash=sha256:") >= len(pins)
    for file in ("requirements.lock", "constraints.txt"):
        text = (ROOT / "docker" / file).read_text("utf-8")
        assert not re.search(r"https?://|--index|--find-links|file:", text)


def test_lock_and_constraints_agree() -> None:
    folder = ROOT / "docker"
    pinned = re.compile(r"^([a-z0-9_.-]+)==([^\s;\\]+)", re.MULTILINE | re.IGNORECASE)
    held = dict(pinned.findall((folder / "constraints.txt").read_text("utf-8")))
    for name, version in pinned.findall((folder / "requirements.lock").read_text("utf-8")):
        assert held.get(name) == version, name
