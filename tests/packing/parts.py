"""Where the parts of the packing lie."""

import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BUILD = Path(os.environ.get("TURNWRIGHT_BUILD", ROOT / "build"))
PROGRAM = Path(os.environ.get("TURNWRIGHT", BUILD / "turnwright"))
os.environ["SOURCE_DATE_EPOCH"] = "1700000000"
sys.path[:0] = [str(ROOT / ".ci"), str(ROOT / "editor-configs/vscode")]
