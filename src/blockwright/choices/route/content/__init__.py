"""The steps of an engine, from its architecture, its parts and its duty.

| module | responsibility |
| --- | --- |
| `facts` | what the steps rest on: the engine, how it goes together, which fits are asked for |
| `held` | fits as evidence: which are always held, which only where somebody asked for them |
| `inspection` | mock-up: parts, bores, crank, shells, rods, pistons and rings on the bench |
| `dry` | mock-up: the dry assembly and the clearances that only it shows |
| `washing` | taken down, washed, dried, oiled |
| `case` | plugs, jets, cam below the heads, shells |
| `crank` | crank, mains, thrust; case or bedplate closed on it |
| `rods` | rods that are on the crank before their pistons come, or are joined after |
| `pistons` | rings on, pin and clips, piston into its bore |
| `covers` | pump, covers, seals, sump |
| `top_end` | heads, lifters, cams, rockers |
| `timing` | cam timing and lash |
| `whole` | all of them, one after the other |
| `first_start` | oil, priming, leak-down, first start, run-in, first oil |

Every word on the trade here is common practice, no source; the part maker's instructions come first.
"""

from __future__ import annotations

from blockwright.choices.route.content.held import FREE_ON_PURPOSE
from blockwright.choices.route.content.whole import steps_for

__all__ = ["FREE_ON_PURPOSE", "steps_for"]
