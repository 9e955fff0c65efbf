"""One file per format; each reads the job and writes, none computes."""
