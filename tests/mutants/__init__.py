"""Do the tests bite? Small errors put into the physics and the rules on purpose, and how many of them a test notices."""
