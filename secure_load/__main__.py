"""``python -m secure_load``."""

from __future__ import annotations

from secure_load.cli.main import run

if __name__ == "__main__":
    run()
