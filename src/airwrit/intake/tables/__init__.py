"""Where tables stand in a sheet, by evidence: headings are unlike what stands below them."""
