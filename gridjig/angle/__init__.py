"""The angle question for a job, and where its answers can be placed on the job's table."""
