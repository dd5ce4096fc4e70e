"""The live page: a local server, the same model and the same result as the command, drawn while a slider moves."""
