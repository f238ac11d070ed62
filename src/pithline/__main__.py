"""``python -m pithline`` is the same as ``pithline``."""

from __future__ import annotations

import sys

from pithline.cli.main import main

sys.exit(main())
