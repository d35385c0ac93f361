"""The measuring page: what a tablet must know of a job to go on measuring without the bench.

| module | subject |
| --- | --- |
| `plan` | stations and spots, with what is known of each, as the page and its store hold them |
| `here` | which spot a page opens at |
| `words` | a spot and its reading in words |
| `kept_files` | what the service worker keeps on the tablet |
"""
