"""Where kitchend keeps its files, by the XDG base directory rules. Only paths: nothing is made."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Every path kitchend uses by itself; `sounds` only where the cook wants what is said kept."""

    settings: Path
    journal: Path
    socket: Path
    pulse: Path
    snapshot: Path
    log: Path
    way: Path
    plans: Path
    sounds: Path | None = None


def places(environment: Mapping[str, str] | None = None) -> Places:
    """The paths for this environment (by default the process's own)."""
    env = os.environ if environment is None else environment
    home = Path(env.get("HOME") or "/")
    config = _base(env, "XDG_CONFIG_HOME", home / ".config")
    state = _base(env, "XDG_STATE_HOME", home / ".local" / "state")
    runtime = _base(env, "XDG_RUNTIME_DIR", state.parent)
    return Places(
        settings=config / "settings.yaml",
        journal=state / "journal.sqlite3",
        socket=runtime / "control.sock",
        pulse=state / "alive.json",
        snapshot=state / "snapshot",
        log=state / "kitchend.log",
        way=state / "loudspeaker.json",
        plans=config / "plans",
    )


def _base(env: Mapping[str, str], name: str, fallback: Path) -> Path:
    """The kitchend folder under a base directory; a relative base is no base, as the rules say."""
    base = Path(env.get(name) or fallback)
    if not base.is_absolute():
        base = fallback
    return base / "kitchend"
