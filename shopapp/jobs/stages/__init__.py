"""The stages of a job's making: which are done, which comes next, which are waited for."""
