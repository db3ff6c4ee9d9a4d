"""A profile is a folder: profile.toml (language, units, name), style.css, a logo. Everything in it is optional."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from partingline.publish.words.languages import Language, language
from partingline.sources import quantities

MOST_BYTES = 1 << 20
_KEYS = frozenset({"language", "name", "logo", "pace", "units", "tags"})


@dataclass(frozen=True)
class Profile:
    """Language, style sheet, logo, the publisher's name, units by quantity, tags of the front matter."""

    language: Language
    css: str = ""
    logo: bytes = b""
    logo_name: str = ""
    name: str = ""
    pace: float = 150.0
    units: Mapping[str, str] = field(default_factory=dict)
    tags: tuple[str, ...] = ()


def read_profile(folder: Path | None = None, tag: str | None = None) -> Profile:
    """A profile folder, or the plain profile. tag: overrides the language. ValueError names what cannot be used."""
    if folder is None:
        return Profile(language(tag or "en"))
    if not folder.is_dir():
        raise ValueError(f"{folder}: no such folder; expected a profile with profile.toml, style.css, a logo")
    told = _told(folder / "profile.toml")
    if unknown := sorted(set(told) - _KEYS):
        raise ValueError(
            f"{folder / 'profile.toml'}: unknown key '{unknown[0]}'; expected any of {', '.join(sorted(_KEYS))}"
        )
    units = {str(key): str(value) for key, value in dict(told.get("units", {})).items()}  # type: ignore[call-overload]
    _check_units(folder, units)
    css = folder / "style.css"
    logo = folder / str(told.get("logo", "logo.png"))
    return Profile(
        language=language(tag or str(told.get("language", "en"))),
        css=_bounded(css).decode("utf-8") if css.is_file() else "",
        logo=_bounded(logo) if logo.is_file() else b"",
        logo_name=logo.name,
        name=str(told.get("name", "")),
        pace=float(str(told.get("pace", 150))),
        units=units,
        tags=tuple(map(str, told.get("tags", ()))),  # type: ignore[call-overload]
    )


def _told(path: Path) -> dict[str, object]:
    if not path.is_file():
        return {}
    try:
        return tomllib.loads(_bounded(path).decode("utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f'{path}: {error}; expected TOML such as language = "en"') from None


def _check_units(folder: Path, units: Mapping[str, str]) -> None:
    from partingline.readers.quantities import QuantityError, convert

    for quantity, unit in units.items():
        known = quantities().get(quantity)
        if known is None:
            raise ValueError(f"{folder / 'profile.toml'}: units of '{quantity}': no such quantity in the glossary")
        try:
            convert(1.0, known.unit, unit)
        except QuantityError as error:
            raise ValueError(f"{folder / 'profile.toml'}: units of '{quantity}': {error}") from None


def _bounded(path: Path) -> bytes:
    if path.stat().st_size > MOST_BYTES:
        raise ValueError(f"{path}: {path.stat().st_size >> 10} KiB; expected at most {MOST_BYTES >> 10} KiB")
    return path.read_bytes()
