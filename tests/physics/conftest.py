"""Lets the test modules of this room read each other's tables of cases; a slow machine is no failure."""

from __future__ import annotations

import sys
from pathlib import Path

from hypothesis import settings

sys.path.insert(0, str(Path(__file__).parent))
settings.register_profile("no deadline", deadline=None)
settings.load_profile("no deadline")
