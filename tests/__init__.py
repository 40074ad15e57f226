"""What is compiled for the tests is kept in ``build/`` where the environment forbids it beside the
code: else every process of a run would compile generator and tests anew."""

import os
import sys
from pathlib import Path

if sys.dont_write_bytecode:
    kept = str(Path(__file__).resolve().parent.parent / "build" / "compiled")
    sys.dont_write_bytecode, sys.pycache_prefix = False, kept
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # for the processes that tests start
    os.environ["PYTHONPYCACHEPREFIX"] = kept
