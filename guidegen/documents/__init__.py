"""One module for each document: plan, sequences and numbers composed on paper."""
