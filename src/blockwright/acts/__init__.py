"""What is done to a job, one act at a time: the one layer that the command line, the pages and the HTTP API share.

| module | subject |
| --- | --- |
| `event` | an act as it is recorded: numbered, dated, named, sealed to the one before |
| `roles` | who may do what |
| `kinds` | every kind of act, declared once: its words, who may do it, how it is checked and what it changes |
| `kept` | a job as its events make it; folding |
| `store` | where events are kept: what a store must do, and the one that keeps a job folder |
| `touched` | the fits that a reading touches, judged at once |
"""
