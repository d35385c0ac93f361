"""The ledger: books of events that are only ever added to, on SQLite or PostgreSQL.

| module | responsibility |
| --- | --- |
| `place`, `zone` | where the ledger lies: data folder, database, key; the machine's time zone |
| `start` | get it going: environment, Django, tables |
| `models` | the tables: books, events, attachments, people |
| `rows` | an event ↔ its row |
| `store`, `cache` | `LedgerStore`: one book as a store of acts; jobs that were folded already |
| `faults` | what a database says of itself, in plain words |
| `attachments` | files of a book, each content once |
| `books`, `folders` | a book opened, found, given out; the same from and to a folder on disk |
| `snapshot` | one look at everything while others write |
| `verify` | what was altered, lost or moved |
| `backup`, `restore` | one file that holds everything; bringing it back |
"""
