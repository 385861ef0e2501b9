#!/usr/bin/env python
"""Run the shop's commands: `manage.py help` lists them."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tailorshop.settings")
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except Exception as raised:
        if "--traceback" in sys.argv:
            raise
        if isinstance(raised, ImproperlyConfigured):
            sys.exit(f"{raised}")
        from tailorshop.faults import fault_of

        fault = fault_of(raised)
        if fault is None:
            raise
        sys.exit(f"{fault.happened} {fault.by_keeper} Then run this again. ({raised})")


if __name__ == "__main__":
    main()
