"""The bench: web pages and the HTTP API on the ledger.

| module | subject |
| --- | --- |
| `settings`, `urls`, `wsgi`, `server` | Django's settings; all addresses; the application; the server that carries it |
| `addresses` | an address, who may use it, and the guard before every view |
| `access` | who acts |
| `state` | a book as it stands, judged once for each of its numbers |
| `problems` | what was refused, as part of a page, as a page, or as problem+json |
| `middleware`, `telling` | the actor and the log line of each request; logs as JSON lines without personal data |
| `drawn` | pictures and marks put into a page, in the page's colours |
| `context` | what every page knows: the actor, the engine, the numbers beside the navigation |
| `views` | the pages |
"""
