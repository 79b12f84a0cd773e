"""The default plan, one file for each part of the housing. Every limit has its source in `default_plan`."""
