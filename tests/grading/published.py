"""Published numbers, each with its source beside it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

PUBLISHED: dict[str, Any] = json.loads(
    Path(__file__).with_name("published.json").read_text(encoding="utf-8")
)
