"""Rules on clearance and creepage across insulation barriers."""
