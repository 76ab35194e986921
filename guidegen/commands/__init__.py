"""One module for each command; cheap to import, the work is imported when it is done."""
