"""Every sentence and table, once, for paper, command line and screen."""
