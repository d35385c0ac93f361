"""The register of gauges as a page shows it.

| module | responsibility |
| --- | --- |
| `listing` | every gauge with its sense, certificate, due day, settings and who used it; the overdue first |
| `forms` | registering a gauge, or again with a new certificate, and making a setting |
"""
