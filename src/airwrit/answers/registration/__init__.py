"""An organization's registrations: ways, certificates, fees, marks, filings."""
