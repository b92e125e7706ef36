"""What an installation is told by its environment."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.errors import SettingError
from qa.settings import DEFAULT_ORIGIN, read_settings


def test_without_a_word_the_site_is_on_loopback_and_trusts_no_proxy(tmp_path: Path) -> None:
    settings = read_settings({"LAIDTRUE_INSTANCE": str(tmp_path)}, home=tmp_path)
    assert settings.database_url == f"sqlite:///{tmp_path / 'laidtrue.db'}"
    assert (settings.origin, settings.proxies) == (DEFAULT_ORIGIN, 0)


def test_each_variable_is_heard(tmp_path: Path) -> None:
    variables = {
        "LAIDTRUE_INSTANCE": str(tmp_path),
        "LAIDTRUE_DATABASE": "postgresql+psycopg://here/there",
        "LAIDTRUE_ORIGIN": "https://roofs.example",
        "LAIDTRUE_PROXIES": "1",
        "LAIDTRUE_WEBHOOK_NETWORKS": "10.1.0.0/16, ::1/128",
    }
    settings = read_settings(variables, home=tmp_path)
    assert settings.database_url == "postgresql+psycopg://here/there"
    assert (settings.origin, settings.proxies) == ("https://roofs.example", 1)
    assert list(map(str, settings.webhook_networks)) == ["10.1.0.0/16", "::1/128"]


@pytest.mark.parametrize("word", ["-1", "6", "one", "1.5"])
def test_number_of_proxies_that_is_none_is_refused_in_words(word: str, tmp_path: Path) -> None:
    with pytest.raises(SettingError, match="LAIDTRUE_PROXIES"):
        read_settings({"LAIDTRUE_PROXIES": word}, home=tmp_path)


@pytest.mark.parametrize("word", ["10.1.0.1/16", "office", "10.1.0.0/33"])
def test_network_that_is_none_is_refused_in_words(word: str, tmp_path: Path) -> None:
    with pytest.raises(SettingError, match="LAIDTRUE_WEBHOOK_NETWORKS"):
        read_settings({"LAIDTRUE_WEBHOOK_NETWORKS": word}, home=tmp_path)
