"""The desk: from a walk round a vehicle to its file, for people who do not write YAML."""
