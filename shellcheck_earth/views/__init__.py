"""What people see: figures, the report, tables, the command line."""
