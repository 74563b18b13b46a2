"""Test sheets of the battery side whose network, spreads and meters come from ngspice, not from the solver under test."""
