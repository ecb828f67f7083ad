"""Settings: read from the environment, every bad name reported at once."""

from __future__ import annotations

import dataclasses

import pytest

from halfthou_service.http.settings import SETTINGS, Settings, SettingsError, settings_help


def test_the_defaults_are_modest():
    plain = Settings.from_environment({})
    assert plain == Settings()
    assert plain.host == "127.0.0.1"
    assert plain.rate_limit == 0
    assert (plain.max_body, plain.max_items) == (2_097_152, 5_000)


def test_every_setting_is_read(tmp_path):
    overlay = tmp_path / "own.toml"
    overlay.touch()
    given = {
        "HALFTHOU_HOST": "0.0.0.0", "HALFTHOU_PORT": "80", "HALFTHOU_OVERLAY": str(overlay), "HALFTHOU_RATE_LIMIT": "60",
        "HALFTHOU_MAX_BODY": "4096", "HALFTHOU_MAX_ITEMS": "10", "HALFTHOU_LOG_LEVEL": "INFO",
    }  # fmt: skip
    assert set(given) == set(SETTINGS)
    assert Settings.from_environment(given) == Settings("0.0.0.0", 80, str(overlay), 60, 4096, 10, "info")
    assert {s.field for s in SETTINGS.values()} == {f.name for f in dataclasses.fields(Settings)}


def test_all_bad_names_are_reported_at_once():
    with pytest.raises(SettingsError) as caught:
        Settings.from_environment({
            "HALFTHOU_PORT": "eighty", "HALFTHOU_MAX_BODY": "-1", "HALFTHOU_LOG_LEVEL": "loud", "HALFTHOU_OVERLAY": "/no/such/file",
            "HALFTHOU_HOST": "a b", "HALFTHOU_RATELIMIT": "5", "HALFTHOU_RATE_LIMIT": "\u0665",
        })  # fmt: skip
    assert len(caught.value.faults) == 7
    assert "did you mean HALFTHOU_RATE_LIMIT" in str(caught.value)


def test_names_of_other_parts_and_empty_values_are_let_be():
    given = {"HALFTHOU_URL": "http://shop.local", "HALFTHOU_CACHE": "/x", "HALFTHOU_PORT": " ", "PORT": "1"}
    assert Settings.from_environment(given) == Settings()


def test_settings_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        Settings().port = 1


def test_help_names_every_setting():
    assert all(name in settings_help() for name in SETTINGS)


def test_a_smaller_bound_holds():
    from halfthou_service.http import create_app

    client = create_app(Settings(max_body=2_000, max_items=2)).test_client()
    big = client.post("/v1/verdicts", data=b" " * 2_001, content_type="application/json")
    assert big.status_code == 413
    many = client.post("/v1/verdicts", data=b'{"readings": [1, 2, 3]}', content_type="application/json")
    assert many.json["type"] == "/problems/too-many-items"
