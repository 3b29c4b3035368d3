"""A stack of ingots looked at one by one."""
