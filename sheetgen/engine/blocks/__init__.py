"""The blocks of the bid book, one sheet's worth a file: figures made of a job by the trade's sums."""
