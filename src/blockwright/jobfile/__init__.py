"""The job folder: read in one pass with every problem listed, and written back without loss.

| module | responsibility |
| --- | --- |
| `folder` | the whole folder: files in, job or every problem out |
| `textfile` | a file that a person saved → its text |
| `toml_read` | `job.toml`, `gauges.toml` → their records |
| `toml_layout`, `toml_lines` | where in a TOML text its tables and values stand; their lines |
| `records` | a TOML table → a record, by its declared fields |
| `where` | a place in a TOML file, and which places are at fault |
| `table` | a CSV table as a spreadsheet saved it → rows, and back |
| `typed` | the cells as they were typed, kept for writing back |
| `readings_csv` | rows ↔ readings |
| `inherit` | state and temperatures entered once for a part and sitting |
| `passes_csv` | rows ↔ what was filed |
| `record_csv` | rows ↔ signed acceptances |
| `route_csv` | rows ↔ signatures under the steps of the route |
| `sealing` | rows sealed to one another |
| `study_csv` | a gauge study from a spreadsheet |
| `known` | what the files name, as far as they could be read |
| `checks_sheet`, `checks_limits` | faults of `job.toml` as a whole |
| `checks_gauges` | faults of `gauges.toml` as a whole |
| `checks_readings` | faults of readings against the rest of the job |
| `checks_record` | faults of acceptances against the engine |
| `checks_route` | faults of the builder's changes to the route |
| `near` | the known word nearest to an unknown one |
| `write` | the files of a job, all or none, what did not change left as it was |
| `toml_write` | a record → TOML |
| `toml_edit` | one value of a TOML text changed, every other letter kept |
| `exact` | a number → text that reads back as the same number |
"""
