"""A sheet of fields over the main screen: a scenario of the owner's own, a finding."""
