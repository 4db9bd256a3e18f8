"""What runs on the ERP's own Python is no test module."""

collect_ignore = ["tryton_scenario.py"]
