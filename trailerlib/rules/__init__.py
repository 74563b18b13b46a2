"""What is allowed: a measured value against a limit becomes a finding, with clause and remedy."""
