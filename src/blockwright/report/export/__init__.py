"""An assessment for other programs: tables for spreadsheets, a workbook, JSON by a published schema.

| module | responsibility |
| --- | --- |
| `tables` | fits, readings, parts and gauges as rows of texts and numbers, the unit beside each number |
| `files` | all of it as files by name |
| `as_csv` | a table as CSV that opens clean |
| `as_xlsx` | all tables as one workbook |
| `schema` | the published schema of the JSON |
"""
