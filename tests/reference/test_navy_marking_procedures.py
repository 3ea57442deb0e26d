"""Centre of balance of a military vehicle.

United States Navy training text 14233, figure 4-11, marking procedures: centre of balance = sum of
distance times axle load over sum of axle loads, up to three axles. Read at
constructionmanuals.tpub.com/14233/css/Figure-4-11-Marking-procedures-134.htm. It prints a formula
only.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import READ, claim
from underset.statics import Item, total


@pytest.mark.parametrize(
    "axles",
    [((0.0, 4200.0), (3.9, 5100.0)), ((0.0, 5000.0), (3.6, 7200.0), (4.95, 7100.0))],
)
def test_centre_of_balance(axles: tuple[tuple[float, float], ...]) -> None:
    formula = sum(d * w for d, w in axles) / sum(w for _, w in axles)
    whole = total([Item(f"axle at {d}", w, 0.0, (d, 0.0, 0.0)) for d, w in axles])
    claim(
        f"navy-{len(axles)}-axles",
        f"Centre of balance of {len(axles)} axles, formula and ledger, in m",
        source="US Navy training text 14233",
        where="figure 4-11",
        seen=READ,
        printed=formula,
        ours=whole.cg[0],
        tolerance=1e-12,
        reason="the same formula",
    )
