"""The papers of an engine: what can be printed, drawn and taken out, made when it is asked for and off the path of a reading.

| module | responsibility |
| --- | --- |
| `catalogue` | every paper: its name, its file's name, its kind of file, and how it is made |
| `source` | what a paper is made from, gathered once: nothing that is made later asks the ledger |
| `making` | papers made by a hand of their own, kept for a while, and asked after |
| `handing` | a file as it is handed out |
| `checking` | whether a build sheet that is sent in belongs to the job as it is now |
"""
