"""The trade as data: systems, kinds of service point, requirements, steps and cautions."""
