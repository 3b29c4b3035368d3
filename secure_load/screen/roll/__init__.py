"""The pane of drawings: the heel strip, the section, the plan and the rose."""
