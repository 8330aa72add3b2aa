"""The workbook: the whole book as sheets, out and in again."""
