"""Rules on what is claimed: label and listing beside what was read and measured."""
