"""The question of an angle, put to a job, and where its answers can stand on its table."""
