"""Papers: workbooks, labels, calendars, worksheets; bytes from answers, the same for the same input and day."""
