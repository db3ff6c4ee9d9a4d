"""The pages: the blocks of the report with the means to edit, as plain HTML that works without script."""
