"""What the tests share: this folder is on the path, so that `worked_job` can be imported."""
