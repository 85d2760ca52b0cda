"""What each subject of the second half adds to `tests.world`, in the order of the job.

`things(cast, made)` returns what addresses can name; `made` holds what is there already, as text.
"""
