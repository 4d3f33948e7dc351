"""The angle question for a job, and where its answers can stand on the job's table."""
