"""Answers drawn from the model: one subject a file, `f(ask) -> frozen result`, kept beside the model, never inside it."""
