"""The invented program: its workbook, its house rules."""
