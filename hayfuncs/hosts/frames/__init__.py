"""The functions on columns of data frames and as SQL, all made from the records; no list of names is kept by hand."""
