"""The arithmetic and the vocabulary of the trade; knows no record, no file and no clock."""
