"""Physics: pure functions of SI floats and arrays, each with its source.

| module | responsibility |
| --- | --- |
| `expansion` | hot gaps and clearances from cold ones |
| `liner` | a liner in its housing: pressure between them, growth of the bore |
| `ring_beam` | tension, pressure and stress of a ring in its bore |
| `ring_mounting` | a ring pulled over its piston, or wound on by hand |
| `lands` | bending of the piston's lands, and what they bear when hot |
| `guards` | ranges within which the models hold |
| `iso286` | limits of size from a tolerance class |
"""
