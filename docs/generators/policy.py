"""The page of policy thresholds."""

from __future__ import annotations

from docs.generators._words import code, table
from underset.records.policy import RULES


def page() -> str:
    rows = [
        (code(name), rule.default, rule.kind, rule.meaning, rule.source)
        for name, rule in RULES.items()
    ]
    return f"""# Policy thresholds

What the judge compares with, unless the workshop's `policy.toml` says otherwise. "Shop policy" and
"common practice, no source" mean just that: no document stands behind the figure.

{table(["name", "default", "kind", "meaning", "source"], rows)}
"""


PAGES = {"reference/policy.md": page}
