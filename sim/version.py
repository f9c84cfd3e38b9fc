"""The version, in one place: pyproject.toml and every result's stamp read it from here."""

VERSION = "0.1.0"
