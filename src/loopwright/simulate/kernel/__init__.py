"""The compiled inner loop: arrays in, arrays changed. It knows the column list and nothing else."""
