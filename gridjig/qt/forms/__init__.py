"""Forms and pages: settings, start page, job, table, rack, shop aids."""
