"""Physics: pure functions of SI floats and arrays, each with its source.

| module | responsibility |
| --- | --- |
| `expansion` | hot gaps and clearances from cold ones |
| `reynolds` | pressure in a plain bearing of finite width |
| `mobility` | how a load moves a journal in its bearing: maps for any width, kept on disk |
| `bearing_formulas` | closed forms for steady bearings, to hold the two above against |
| `journal_orbit` | path of a journal under a load that comes round again and again |
| `plain_bearing` | bearings at work: film, pressure, loss, oil flow, temperature, clearance window |
| `compiled` | loops over time, compiled when first used |
| `liner` | a liner in its housing: pressure between them, growth of the bore |
| `ring_beam` | tension, pressure and stress of a ring in its bore |
| `ring_mounting` | a ring pulled over its piston, or wound on by hand |
| `lands` | bending of the piston's lands, and what they bear when hot |
| `crank_forces` | forces of one cylinder's crank drive: pin, wall, rod bearing, crank, rod bolts |
| `layouts_forces` | a whole crank: firing, loads on main bearings, free forces and couples by order |
| `threads` | screw threads: diameters, stress area, strength by class; stretch and stiffness of a bolt |
| `bolts` | tightening by torque: preload, friction, spread |
| `joints` | bolted joints: stiffness, tightening by angle, load on the bolt, separation, use again |
| `springs` | valve springs: rate, stress, loads, coil bind, surge |
| `compression` | volumes of a cylinder, its ratio, what changes it, and what the intake's closing leaves of it |
| `valve_motion` | a lift table: centreline, duration, timing; lash and shims |
| `valve_to_piston` | how near a valve comes to its piston |
| `balancing` | weigh sheets, bobweights, unbalance that may be left, corrections in two planes |
| `orifice` | gas through a small opening that may choke, and through a slot |
| `ring_pack` | gas between and behind the rings: pressures, lift, blow-by |
| `ring_pack_march` | its loop over steps and cycles, compiled |
| `guards` | ranges within which the models hold |
| `iso286` | limits of size from a tolerance class |
"""
