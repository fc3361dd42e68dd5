"""What comes with Fitwright is found in a checkout and in a wheel."""

from __future__ import annotations

import tomllib
from pathlib import Path

import platformdirs
import pytest

from configurator.core import paths
from configurator.core.errors import FitwrightError

pytestmark = pytest.mark.wheel

SHARED = ("catalogs", "plugins", "app.py")


def lay_out(folder: Path) -> Path:
    """Make a folder with what comes with Fitwright, and the package's own beside it."""
    (folder / "catalogs").mkdir(parents=True)
    (folder / "plugins").mkdir()
    (folder / "app.py").touch()
    package = folder / "configurator"
    package.mkdir()
    return package


def places() -> list[Path]:
    return [paths.catalogs(), paths.plugins(), paths.app()]


def test_what_is_running_finds_its_own_files() -> None:
    assert all(path.is_absolute() for path in places())
    assert paths.catalogs().is_dir()
    assert list(paths.plugins().glob("*.py"))
    assert "configurator.ui" in paths.app().read_text(encoding="utf-8")


def test_a_checkout_has_them_beside_the_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(paths, "_PACKAGE", lay_out(tmp_path))
    assert places() == [tmp_path / name for name in SHARED]


def test_a_wheel_has_them_inside_the_package_whatever_stands_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = lay_out(tmp_path)
    lay_out(package / "_bundled")
    monkeypatch.setattr(paths, "_PACKAGE", package)
    assert places() == [package / "_bundled" / name for name in SHARED]


def test_an_incomplete_installation_says_what_is_missing_and_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "configurator"
    (package / "_bundled").mkdir(parents=True)
    monkeypatch.setattr(paths, "_PACKAGE", package)
    for find in (paths.catalogs, paths.plugins, paths.app):
        with pytest.raises(FitwrightError, match=r"_bundled.* is missing.*install Fitwright again"):
            find()


def test_the_pages_listen_on_this_computer_only_and_send_nothing() -> None:
    # Streamlit reads the file beside the script it runs.
    file = paths.app().parent / ".streamlit" / "config.toml"
    chosen = tomllib.loads(file.read_text(encoding="utf-8"))
    assert chosen["server"]["address"] == "127.0.0.1"
    assert chosen["browser"]["gatherUsageStats"] is False
    assert chosen["client"]["showErrorDetails"] == "none"


def test_streamlit_knows_every_setting_by_that_name_and_kind() -> None:
    from streamlit import config

    file = paths.app().parent / ".streamlit" / "config.toml"
    sections = tomllib.loads(file.read_text(encoding="utf-8"))
    theme = sections["theme"]
    sections |= {f"theme.{part}": theme.pop(part) for part in ("light", "dark")}
    for section, settings in sections.items():
        for key, value in settings.items():
            default = config.get_options_for_section(section)[key]
            assert default is None or isinstance(value, type(default)), f"{section}.{key}"


def test_the_workshops_data_are_where_the_variable_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path / "shop"))
    assert paths.user_folder() == tmp_path / "shop"
    assert not (tmp_path / "shop").exists()


def test_the_variable_may_start_at_home_or_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FITWRIGHT_DATA", "~/shop")
    assert paths.user_folder() == Path.home() / "shop"
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FITWRIGHT_DATA", "shop")
    assert paths.user_folder() == tmp_path / "shop"


@pytest.mark.parametrize("unset", [None, ""])
def test_without_it_they_are_where_the_system_keeps_a_programs_data(
    unset: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    if unset is None:
        monkeypatch.delenv("FITWRIGHT_DATA", raising=False)
    else:
        monkeypatch.setenv("FITWRIGHT_DATA", unset)
    folder = paths.user_folder()
    assert folder.is_absolute()
    assert folder.name == "fitwright"
    assert folder == Path(platformdirs.user_data_dir("fitwright", appauthor=False))


def test_xdg_decides_on_unix(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    if platformdirs.PlatformDirs.__name__ != "Unix":
        pytest.skip("XDG_DATA_HOME is for Unix")
    monkeypatch.delenv("FITWRIGHT_DATA", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert paths.user_folder() == tmp_path / "fitwright"
