"""The bench for other programs: HTTP and JSON under `api/v1/`, described by its own OpenAPI document.

| module | responsibility |
| --- | --- |
| `urls` | the addresses, and what makes one API of them |
| `asker` | who asks: a token's hand, or the one bench of local mode; no cookie ever |
| `heads` | HEAD wherever GET is answered |
| `refusing` | every refusal as problem+json (RFC 9457), whichever layer it comes from |
| `answering` | the engine of an address, its mark for `If-None-Match`, parts of long lists |
| `shapes`, `route_shapes` | the form of every answer |
| `telling` | a job in those forms |
| `act_forms`, `act_examples` | the body of an act, made from `acts.kinds`, with an invented example for each kind |
| `describing` | the OpenAPI document: what no signature says |
| `work_forms` | the form of an engine at work, made from its records |
| `engines`, `judged`, `measured`, `worked`, `record`, `photos`, `papers` | the endpoints |
"""
