"""The quoting workbook: what stands in which cell, and why."""
