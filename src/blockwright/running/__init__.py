"""The engine at work: how hot it runs, and what the clearances measured cold become.

| module | responsibility |
| --- | --- |
| `temperatures` | how hot rings, bore and skirt run: given, or assumed from the duty |
| `ring_heat` | how far a ring's gap closes, and the cold gap that keeps its ends apart |
| `processes` | work shared out on one machine |
| `sampling` | a formula drawn many times, where first order would not do |
| `land_strength` | what the lands bear at their temperature |
| `wall_heat` | the wall clearance when hot |
| `second_ring` | whether a second ring may be looser |
| `sweep` | the engine at work over ranges of duty, clearance and oil; studies that go on after they were stopped |
| `work` | the engine at its duty: heat, gas, forces, films, hot fits |
| `assess` | a job judged with all of that |
"""
