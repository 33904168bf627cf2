"""Output: which files a plan folder holds, the summary, the figures alone."""
