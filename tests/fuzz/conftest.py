"""The tests of fuzz use the hand-made workbooks of the tests of the reader."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "reader"))
