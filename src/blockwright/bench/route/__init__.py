"""The route on pages: `now` how far a book's assembly has got, `overview` the page of all steps, `told` one step, `own` the builder's changes.

Pure but for `now` and `eyes`, which ask the ledger and the people of the shop.
"""
