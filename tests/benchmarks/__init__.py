"""Programs that print figures and ratios; no test times anything."""
