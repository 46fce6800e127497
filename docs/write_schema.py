"""Write the JSON Schema of a review file beside this script."""

from __future__ import annotations

import json
from pathlib import Path

from cliptag.review import review_schema

target = Path(__file__).parent / "review.schema.json"
target.write_text(json.dumps(review_schema(), indent=2) + "\n", "utf-8")
