"""The ground everything stands on: units, days, identifiers, measured numbers, findings, errors. Imports nothing of ours."""
