"""What kb found, in the lines that screens show: one module for each kind of thing shown."""
