"""The record of an engine as a page shows it: `listing` finds, strikes, filters and pages its events and says whether the chain is whole."""
