"""Spreadsheets and facts files in; statements and problems out. Nothing is repaired in silence.

`sheets.read_sheets(paths, answers)` reads spreadsheets: statements, problems, sources and what each column was taken for.
`mapping.load_mapping(path)` and `mapping.save_mapping(intake.columns, path)` keep what columns mean.
`facts_file.read_facts(text, name)` reads a facts file in TOML.
`template.write_template(path)` writes a workbook to fill in, which the reader takes without a question.
"""
