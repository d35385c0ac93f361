"""The route: the order of assembly as a graph of steps, and how far it has got.

| module | responsibility |
| --- | --- |
| `step` | what a step is, and its evidence |
| `content` | the steps of an engine, from its architecture, parts and duty |
| `own` | what the builder's own steps ask for |
| `graph` | steps and the builder's changes → an order that holds; why not, where a change cannot be |
| `naming` | which step is meant by what was typed |
| `evidence` | what a step lacks, what it rested on, and what of that has changed |
| `progress` | signings → the state of every step; what is missing where one cannot be signed |
| `whole` | the route of a job, and how far it has got |
"""
