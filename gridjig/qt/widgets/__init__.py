"""Parts that any form, pane or strip is put together from.  They know no job."""
